package handlers

import (
	"bytes"
	"fmt"
	"maps"
	"mime/multipart"
	"net/http"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// sentFile is a file as a form carries it.
type sentFile struct{ field, name, data string }

const pdf = "%PDF-1.7\n% a scan\n"

// multipartOf is the body of a form with files, and its kind, which names another divider each time.
func multipartOf(t *testing.T, values map[string]string, files ...sentFile) (kind, body string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(values)) {
		if err := w.WriteField(name, values[name]); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range files {
		part, err := w.CreateFormFile(f.field, f.name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write([]byte(f.data)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), b.String()
}

// uploads sends a form with files to the API, as the clerk.
func (h *house) uploads(path string, values map[string]string, files []sentFile, headers ...string) reply {
	h.t.Helper()
	kind, body := multipartOf(h.t, values, files...)
	req := request("POST", "/api/v1"+path, kind, body)
	req.Header.Set("Authorization", "Bearer "+h.tokens[auth.Clerk])
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	return h.reply(h.send(req))
}

// filled is the form of the certificate of lot B-1 as a browser sends it.
func filled(t *testing.T, more string) map[string]string {
	t.Helper()
	values := map[string]string{}
	for name, value := range formOf(t, paper(more)) {
		values[name] = value[0]
	}
	return values
}

func bareLot(t *testing.T) *player {
	t.Helper()
	p := newPlayer(newHarrowmere(t, morning), false)
	p.play(unpapered(""))
	return p
}

func TestADocumentIsKeptAndSentAsItCame(t *testing.T) {
	p := bareLot(t)
	r := p.uploads("/lots/1/certificate", filled(t, `,"lot":"B-1","release":true`), []sentFile{{"file", `C:\scans\C-900 "x".pdf`, pdf}})
	if r.Status != http.StatusCreated || dig(r.JSON, "released.0.reason") != "Certificate missing" || dig(r.JSON, "certificates.0.file.kind") != "application/pdf" {
		t.Fatalf("%d %s", r.Status, r.Text)
	}
	sum := fmt.Sprint(dig(r.JSON, "certificates.0.file.sha256"))
	for _, got := range []reply{p.call(auth.Viewer, "GET", "/files/"+sum, ""), p.page(auth.Viewer, "/files/"+sum)} {
		if got.Status != http.StatusOK || got.Text != pdf {
			t.Errorf("%d, %d bytes", got.Status, len(got.Text))
		}
		for name, want := range map[string]string{"Content-Type": "application/pdf", "X-Content-Type-Options": "nosniff", "Content-Disposition": `attachment; filename="C-900 x.pdf"`} {
			if has := got.Header.Get(name); has != want {
				t.Errorf("%s is %q, want %q", name, has, want)
			}
		}
	}
	shows(t, "the lot", p.page(auth.Viewer, "/lots/1").Text, "C-900 x.pdf", "/files/"+sum, "certificate of analysis C-900")
	p.verify()
}

func TestADocumentComesFromThePage(t *testing.T) {
	p := bareLot(t)
	session := p.session(auth.Clerk)
	values := filled(t, `,"lot":"B-1","release":true`)
	send := func(csrf string, files ...sentFile) reply {
		values["csrf"], values["key"] = csrf, "one key"
		kind, body := multipartOf(t, values, files...)
		req := request("POST", "/lots/1/certificate", kind, body)
		req.Header.Set("Sec-Fetch-Site", "same-origin")
		req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
		return p.reply(p.send(req))
	}
	if r := send("forged", sentFile{"file", "x.png", "\x89PNG\r\n\x1a\n"}); r.Status != http.StatusForbidden {
		t.Errorf("from another site: %d", r.Status)
	}
	if r := send(auth.CSRF(session), sentFile{"file", "notes.html", "<html>"}); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Text, `id="f-file-fault"`) || !strings.Contains(r.Text, `value="C-900"`) {
		t.Errorf("no picture: %d %s", r.Status, brieflyTold(r))
	}
	values["lot"] = "another lot"
	if r := send(auth.CSRF(session), sentFile{"file", "", ""}); r.Status != http.StatusConflict || strings.Contains(r.Text, "there is no such field") {
		t.Errorf("the box left empty: %d %s", r.Status, brieflyTold(r))
	}
	values["lot"] = "B-1"
	for range 2 { // the second is the first again, whatever divides its parts
		r := send(auth.CSRF(session), sentFile{"file", "x.png", "\x89PNG\r\n\x1a\n"})
		if r.Status != http.StatusSeeOther || !strings.HasPrefix(r.Header.Get("Location"), "/lots/1?done=") {
			t.Fatalf("%d %s", r.Status, brieflyTold(r))
		}
	}
	if l := p.must(auth.Viewer, "GET", "/lots/1", ""); dig(l, "certificates.#") != 1.0 || dig(l, "holds.#") != 0.0 {
		t.Errorf("%v", l)
	}
	p.verify()
}

func TestTheSameUploadCountsOnce(t *testing.T) {
	p := bareLot(t)
	values := filled(t, `,"lot":"B-1"`)
	for file, want := range map[string]int{pdf: http.StatusCreated, pdf + "another": http.StatusUnprocessableEntity} {
		p.uploads("/lots/1/certificate", values, []sentFile{{"file", "x.pdf", pdf}}, "Idempotency-Key", "k-1")
		if r := p.uploads("/lots/1/certificate", values, []sentFile{{"file", "x.pdf", file}}, "Idempotency-Key", "k-1"); r.Status != want {
			t.Errorf("%d, want %d: %s", r.Status, want, r.Text)
		}
	}
	if l := p.must(auth.Viewer, "GET", "/lots/1", ""); dig(l, "certificates.#") != 1.0 {
		t.Errorf("%v", l)
	}
}

func TestWrongUploadsAreRefusedInWords(t *testing.T) {
	p := bareLot(t)
	for name, c := range map[string]struct {
		values map[string]string
		files  []sentFile
		want   int
		says   string
	}{
		"a page":             {filled(t, ""), []sentFile{{"file", "x.pdf", "<html>"}}, 422, "neither a PDF nor"},
		"an empty file":      {filled(t, ""), []sentFile{{"file", "x.pdf", ""}}, 422, "it is empty"},
		"two files":          {filled(t, ""), []sentFile{{"file", "x.pdf", pdf}, {"file", "y.pdf", pdf}}, 422, "there are several files"},
		"another name":       {filled(t, ""), []sentFile{{"scan", "x.pdf", pdf}}, 422, "send it as file"},
		"the file as text":   {map[string]string{"file": pdf, "number": "C-900"}, nil, 422, "there is no such field"},
		"a file for nothing": {nil, []sentFile{{"file", "x.pdf", pdf}}, 422, "no certificate that the file could go with"},
		"nothing at all":     {map[string]string{"kind": "analysis"}, nil, 422, "nothing is filled in"},
		"too large":          {filled(t, ""), []sentFile{{"file", "x.pdf", pdf + strings.Repeat("x", 10<<20)}}, 413, "larger than 10 MiB"},
		"nearly as large":    {filled(t, ""), []sentFile{{"file", "x.pdf", strings.Repeat("x", 9<<20)}}, 422, "neither a PDF nor"},
	} {
		p.what = name
		head := p.head()
		r := p.uploads("/lots/1/certificate", c.values, c.files)
		if r.Status != c.want || !strings.Contains(r.Text, c.says) || p.head() != head {
			p.fail("%d, want %d and %q: %.300s", r.Status, c.want, c.says, r.Text)
		}
	}
	for name, kind := range map[string]string{"no divider": "multipart/form-data", "a body of another sort": "multipart/form-data; boundary=x"} {
		req := request("POST", "/api/v1/lots/1/certificate", kind, `{"number":"C-900"}`)
		req.Header.Set("Authorization", "Bearer "+p.tokens[auth.Clerk])
		if r := p.reply(p.send(req)); r.Status != http.StatusBadRequest {
			t.Errorf("%s: %d %s", name, r.Status, r.Text)
		}
	}
	if r := p.uploads("/receipts", map[string]string{"lot": strings.Repeat("x", 2<<20)}, nil); r.Status != http.StatusRequestEntityTooLarge || !strings.Contains(r.Text, "larger than 1 MiB") {
		t.Errorf("where no file may come: %d %s", r.Status, r.Text)
	}
	p.verify()
}
