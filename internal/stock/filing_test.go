package stock

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// bareLot books cylinders without a certificate, and gives the lot with its first tag.
func (h *harrowmere) bareLot(lot string, change func(o *ReceiveOrder)) (LotAnswer, string) {
	h.t.Helper()
	o := q4(lot, 2)
	o.Certificate = nil
	change(&o)
	a := h.book(o)
	return h.lot(a.Lot.ID), string(a.Cylinders[0].Tag)
}

func (h *harrowmere) lot(id int64) LotAnswer {
	h.t.Helper()
	a, err := h.Lot(h.ctx(), id)
	h.must(err)
	return a
}

// filingOf is the certificate of a lot as it should come.
func filingOf(l LotAnswer) FilingOrder {
	return FilingOrder{ID: l.ID, CertificateOrder: *q4(l.Lot, 1).Certificate, Lot: l.Lot, Release: true}
}

func asIs(*ReceiveOrder) {}

func TestACertificateThatComesLater(t *testing.T) { // S10
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		l, tag := h.bareLot("7K-2206", asIs)
		o := filingOf(l)
		o.Lot = "7K-2207"
		_, err := h.FileCertificate(h.ctx(), h.act("clerk"), o)
		h.wants(err, problem.Refused, "R5c")
		if again := h.lot(l.ID); len(again.Certificates) != 0 || len(again.Holds) != 1 || again.Version != l.Version {
			t.Errorf("a document of another lot: %+v", again)
		}
		o.Lot, o.File = "7k-2206", &FileOrder{`C:\scans\C-881.PDF`, []byte("%PDF-1.7 …")}
		a, err := h.FileCertificate(h.ctx(), h.act("clerk"), o)
		h.must(err)
		if len(a.Released) != 1 || a.Released[0].Reason != CertificateMissing || len(a.Holds) != 0 || a.Certificate != "C-881" || a.Version == l.Version {
			t.Errorf("%+v", a)
		}
		p := a.Certificates[0]
		if !p.Current || p.File == nil || p.File.Name != "C-881.pdf" || p.File.Kind != "application/pdf" || len(p.Values) != 4 || p.Values[3] != (PaperValue{"H2S", "24.6 ppm", 24.6, 0.5}) {
			t.Errorf("%+v %+v", p, p.File)
		}
		f, err := h.File(h.ctx(), p.File.SHA256)
		if err != nil || !bytes.Equal(f.Bytes, o.File.Data) || f.Size != int64(len(o.File.Data)) {
			t.Errorf("%+v %v", f.FileAnswer, err)
		}
		c := h.one(tag)
		if c.Stage != Sealed || c.Readiness.State != Usable || c.Components[3].Words != "H2S 24.6 ppm" {
			t.Errorf("%s %+v %+v", c.Stage, c.Readiness, c.Components[3])
		}
		contains(t, "ledger", lines(c.Ledger), "certificate filed|hold released on its lot")
		if why := c.Ledger[1].Reason; why != "Certificate missing: certificate C-881 names lot 7k-2206" {
			t.Errorf("it was released for %q", why)
		}
		h.verify()
	})
}

func TestANewerCertificateCountsAndTheOldOneStays(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		first := q4("7K-2206", 1)
		first.LabelExpiresOn = ""
		l := h.lot(h.book(first).Lot.ID)
		o := filingOf(l)
		o.Number, o.ExpiresOn, o.Values[3].Amount = "C-950", "2028-03-01", "24.9 ppm"
		a, err := h.FileCertificate(h.ctx(), h.act("purchaser"), o)
		h.must(err)
		if len(a.Certificates) != 2 || a.Certificates[0].Number != "C-950" || a.Certificates[1].Current || a.Certificates[1].Values[3].Typed != "24.6 ppm" {
			t.Errorf("%+v", a.Certificates)
		}
		if a.SupplierExpiresOn != "2028-03-01" || a.Components[3].Words != "H2S 24.9 ppm" {
			t.Errorf("until %s, %+v", a.SupplierExpiresOn, a.Components[3])
		}
		contains(t, "findings", say(a.Findings), "R7 note certificate C-950 ends on 1 Mar 2028, the one before it on 1 Oct 2027")
		h.verify()
	})
}

func TestWhatACertificateSettles(t *testing.T) {
	doubtful := func(o *FilingOrder) { o.Values[3].Amount = "30 ppm" }
	for name, c := range map[string]struct {
		bare     func(o *ReceiveOrder)
		change   func(o *FilingOrder)
		released string
		holds    string // on the lot, after it
		says     string
	}{
		"all in order":             {asIs, func(*FilingOrder) {}, "Certificate missing", "", ""},
		"not asked to release":     {asIs, func(o *FilingOrder) { o.Release = false }, "", "Certificate missing", `R35 note the hold "Certificate missing" can be released now`},
		"a value off":              {asIs, doubtful, "", "Certificate missing Doubtful gas", "R5c note H2S 30 ppm is 5 ppm off|no hold is released"},
		"without a value":          {asIs, func(o *FilingOrder) { o.Values = o.Values[:3] }, "", "Certificate missing Doubtful gas", "it has no value for H2S"},
		"it gives the date":        {undated, func(*FilingOrder) {}, "Certificate missing Undated", "", ""},
		"it gives no date":         {undated, func(o *FilingOrder) { o.ExpiresOn = "" }, "Certificate missing", "Undated", "R7 note it stays on hold: undated"},
		"the label gives the date": {undated, onlyLabel, "Undated", "Certificate missing", ""},
	} {
		t.Run(name, func(t *testing.T) {
			h := settle(t, storetest.New(t))
			l, _ := h.bareLot("7K-2206", c.bare)
			o := filingOf(l)
			c.change(&o)
			a, err := h.FileCertificate(h.ctx(), h.act("clerk"), o)
			h.must(err)
			if got := reasonsOf(a.Released); got != c.released {
				t.Errorf("released are %q, want %q", got, c.released)
			}
			if got := reasonsOf(a.Holds); got != c.holds {
				t.Errorf("on hold for %q, want %q", got, c.holds)
			}
			contains(t, "findings", say(a.Findings), c.says)
			h.verify()
		})
	}
}

func undated(o *ReceiveOrder) { o.LabelExpiresOn, o.FilledOn = "", "" }

func onlyLabel(o *FilingOrder) {
	*o = FilingOrder{ID: o.ID, LabelExpiresOn: "2027-10-01", Release: true}
}

func reasonsOf(holds []HoldAnswer) string {
	var reasons []string
	for _, h := range holds {
		reasons = append(reasons, h.Reason)
	}
	return strings.Join(reasons, " ")
}

func TestWhatStopsACertificate(t *testing.T) {
	h := settle(t, storetest.New(t))
	l, _ := h.bareLot("7K-2206", asIs)
	stale := l.Version + 1
	picture := &FileOrder{"x", []byte("GIF89a")}
	for name, c := range map[string]struct {
		by     string
		change func(o *FilingOrder)
		kind   problem.Kind
		says   string
	}{
		"no such lot":              {"clerk", func(o *FilingOrder) { o.ID = 999 }, problem.Missing, "999"},
		"changed meanwhile":        {"clerk", func(o *FilingOrder) { o.Version = &stale }, problem.Conflict, "version"},
		"nothing":                  {"clerk", func(o *FilingOrder) { *o = FilingOrder{ID: o.ID} }, problem.Invalid, "number: nothing is filled in"},
		"no lot named":             {"clerk", func(o *FilingOrder) { o.Lot = "" }, problem.Invalid, "lot: it is not said which lot"},
		"another lot":              {"clerk", func(o *FilingOrder) { o.Lot = "9Z" }, problem.Refused, "the document names lot 9Z"},
		"easily mistaken":          {"clerk", func(o *FilingOrder) { o.Lot = "7K 22O6" }, problem.Refused, "write 7K-2206 where it says so"},
		"the wrong unit":           {"clerk", func(o *FilingOrder) { o.Values[3].Amount = "24.6 %vol" }, problem.Refused, "24.6 ppm?"},
		"more than the whole":      {"clerk", func(o *FilingOrder) { o.Values[0].Amount, o.Values[1].Amount = "90 %vol", "18 %vol" }, problem.Refused, "R5d"},
		"S91 another date":         {"clerk", func(o *FilingOrder) { o.ExpiresOn = "2027-09-01" }, problem.Refused, "R7"},
		"before the fill":          {"clerk", func(o *FilingOrder) { o.ExpiresOn = "2026-09-01" }, problem.Invalid, "expires_on"},
		"another fill":             {"clerk", func(o *FilingOrder) { o.FilledOn = "2026-10-02" }, problem.Refused, "filled: 1 Oct 2026 is kept"},
		"no picture that is known": {"clerk", func(o *FilingOrder) { o.File = picture }, problem.Invalid, "file: it is neither a PDF nor"},
		"an empty file":            {"clerk", func(o *FilingOrder) { o.File = &FileOrder{Name: "x.pdf"} }, problem.Invalid, "file: it is empty"},
		"a file for nothing":       {"clerk", func(o *FilingOrder) { *o = FilingOrder{ID: o.ID, File: &FileOrder{"x.pdf", []byte("%PDF-1")}} }, problem.Invalid, "values: the lot has no certificate"},
		"a release by another":     {"purchaser", func(*FilingOrder) {}, problem.Forbidden, "may not release"},
	} {
		o := filingOf(l)
		c.change(&o)
		_, err := h.FileCertificate(h.ctx(), h.act(c.by), o)
		if problem.KindOf(err) != c.kind {
			t.Errorf("%s: %v, want %s", name, err, c.kind)
			continue
		}
		contains(t, name, withAdvice(err), c.says)
	}
	if again := h.lot(l.ID); again.Version != l.Version || len(again.Certificates) != 0 || len(again.Holds) != 1 {
		t.Errorf("%+v", again)
	}
	h.verify()
}

// withAdvice is an error with what its findings advise.
func withAdvice(err error) string {
	var p *problem.Error
	if errors.As(err, &p) {
		return err.Error() + say(p.Findings)
	}
	return err.Error()
}

func TestTheFileOfATypedCertificateIsAttached(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		l := h.lot(h.book(q4("7K-2206", 1)).Lot.ID)
		png := FilingOrder{ID: l.ID, File: &FileOrder{"photo.jpeg", []byte("\x89PNG\r\n\x1a\n…")}}
		a, err := h.FileCertificate(h.ctx(), h.act("clerk"), png)
		h.must(err)
		p := a.Certificates[0]
		if len(a.Certificates) != 1 || p.Number != "C-881" || p.File == nil || p.File.Kind != "image/png" || p.File.Name != "photo.png" {
			t.Errorf("%+v", a.Certificates)
		}
		if _, err := h.FileCertificate(h.ctx(), h.act("clerk"), png); err != nil {
			t.Errorf("the same again: %v", err)
		}
		png.File = &FileOrder{"other.png", []byte("\x89PNG\r\n\x1a\nother")}
		_, err = h.FileCertificate(h.ctx(), h.act("clerk"), png)
		h.wants(err, problem.Invalid, "there is a file with the lot's certificate already")
		h.verify()
	})
}

func TestAnUndatedLotIsReleasedByADate(t *testing.T) {
	h := settle(t, storetest.New(t))
	l, tag := h.bareLot("7K-2206", func(o *ReceiveOrder) { undated(o); o.Certificate = q4("", 1).Certificate; o.Certificate.ExpiresOn = "" })
	hold := l.Holds[0]
	_, err := h.Release(h.ctx(), h.act("supervisor"), ReleaseOrder{ID: hold.ID, Evidence: "I say so"})
	h.wants(err, problem.Refused, "it has no date still")
	placed := h.hold("A", "cylinder", tag, Undated)
	_, err = h.Release(h.ctx(), h.act("clerk"), ReleaseOrder{ID: placed.ID, Evidence: "I say so"})
	h.wants(err, problem.Refused, "it has no date still")
	o := FilingOrder{ID: l.ID, LabelExpiresOn: "2027-10-01"}
	_, err = h.FileCertificate(h.ctx(), h.act("clerk"), o)
	h.must(err)
	_, err = h.Release(h.ctx(), h.act("clerk"), ReleaseOrder{ID: hold.ID, Evidence: "read the label again"})
	h.must(err)
	o.Release = true
	a, err := h.FileCertificate(h.ctx(), h.act("clerk"), o)
	h.must(err)
	if got := reasonsOf(a.Released); got != Undated || h.one(tag).Readiness.State != Usable {
		t.Errorf("released %q, %+v", got, h.one(tag).Readiness)
	}
	h.verify()
}

func TestTheDocumentEndsAnEmergencyAcceptance(t *testing.T) {
	h := settle(t, storetest.New(t))
	l, _ := h.bareLot("7K-2206", asIs)
	_, err := h.Release(h.ctx(), h.act("supervisor"), ReleaseOrder{ID: l.Holds[0].ID, Evidence: "chlorine alarm", Until: "2027-03-10"})
	h.must(err)
	_, err = h.FileCertificate(h.ctx(), h.act("clerk"), filingOf(l))
	h.must(err)
	if tasks := h.tasks("supervisor"); tasks != "" {
		t.Errorf("the supervisor still has to see to: %s", tasks)
	}
}

func TestFileNames(t *testing.T) {
	for sent, want := range map[string]string{
		"": "document.pdf", "C-881.PDF": "C-881.pdf", `..\..\etc\passwd`: "passwd.pdf", "../../.ssh": "document.pdf", "a\r\nb\".html": "ab.pdf",
		"Zertifikat Öl.pdf": "Zertifikat Öl.pdf", "\xff\xfe": "document.pdf", strings.Repeat("x", 200): strings.Repeat("x", 80) + ".pdf",
	} {
		if got := fileName(sent, ".pdf"); got != want {
			t.Errorf("%q is kept as %q, want %q", sent, got, want)
		}
	}
}

func TestLotsThatAreNotThere(t *testing.T) {
	h := settle(t, storetest.New(t))
	_, err := h.Lot(h.ctx(), 7)
	h.wants(err, problem.Missing, "lot")
	_, err = h.LotComponents(h.ctx(), 7)
	h.wants(err, problem.Missing, "lot")
	_, err = h.File(h.ctx(), "00")
	h.wants(err, problem.Missing, "file")
}
