package handlers

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"mime"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/gofiber/fiber/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// contract is openapi.yaml made ready to hold exchanges against it. Its schemas are JSON Schema 2020-12, compiled where they
// are met first.
type contract struct {
	doc      *openapi3.T
	router   routers.Router
	lock     sync.Mutex
	compiler *jsonschema.Compiler
	schemas  map[string]*jsonschema.Schema // by JSON pointer
}

// described is the contract, read once for all tests. Reading it checks it by the OpenAPI 3.1 specification, examples included.
var described = sync.OnceValues(func() (*contract, error) {
	doc, err := openapi3.NewLoader().LoadFromData(openAPI)
	if err != nil {
		return nil, err
	}
	router, err := legacy.NewRouter(doc, openapi3.IsOpenAPI31OrLater())
	if err != nil {
		return nil, err
	}
	text, err := doc.MarshalJSON()
	if err != nil {
		return nil, err
	}
	tree, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	compiler.DefaultDraft(jsonschema.Draft2020)
	return &contract{doc: doc, router: router, compiler: compiler, schemas: map[string]*jsonschema.Schema{}}, compiler.AddResource("openapi.json", tree)
})

func theContract(t testing.TB) *contract {
	t.Helper()
	c, err := described()
	if err != nil {
		t.Fatalf("openapi.yaml: %s", brief(err))
	}
	return c
}

// conforms holds an exchange against the OpenAPI description.
func (h *house) conforms(method, path, body string, r reply) {
	h.t.Helper()
	if err := theContract(h.t).check(method, "/api/v1"+path, body, r); err != nil {
		h.t.Errorf("%s %s answers %d and openapi.yaml says otherwise: %v", method, path, r.Status, err)
	}
}

// check holds the answer against the description, and the request too where it was good enough to be done.
func (c *contract) check(method, path, body string, r reply) error {
	req := httptest.NewRequest(method, path, nil)
	route, _, err := c.router.FindRoute(req)
	if err != nil {
		return c.nothingThere(r)
	}
	at := pointer("paths", route.Path, strings.ToLower(method))
	if err := c.answer(at, route.Operation, r); err != nil {
		return fmt.Errorf("the answer: %w", err)
	}
	if r.Status >= http.StatusMultipleChoices {
		return nil
	}
	for name := range req.URL.Query() {
		if route.Operation.Parameters.GetByInAndName(openapi3.ParameterInQuery, name) == nil {
			return fmt.Errorf("the parameter %q is not described", name)
		}
	}
	if err := c.order(at, route.Operation, body); err != nil {
		return fmt.Errorf("the order: %w", err)
	}
	return nil
}

func (c *contract) answer(at string, o *openapi3.Operation, r reply) error {
	described := o.Responses.Value(strconv.Itoa(r.Status))
	if described == nil {
		return errors.New("there is no such status")
	}
	for name, header := range described.Value.Headers {
		if header.Value.Required && r.Header.Get(name) == "" {
			return fmt.Errorf("there is no header %s", name)
		}
	}
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || described.Value.Content[kind] == nil {
		return fmt.Errorf("it is %q", r.Header.Get("Content-Type"))
	}
	if described.Value.Content[kind].Schema == nil {
		return nil
	}
	at += pointer("responses", strconv.Itoa(r.Status))
	if described.Ref != "" {
		at = strings.TrimPrefix(described.Ref, "#")
	}
	return c.fits(at+pointer("content", kind, "schema"), r.Text)
}

func (c *contract) order(at string, o *openapi3.Operation, body string) error {
	switch {
	case o.RequestBody == nil && body == "":
		return nil
	case o.RequestBody == nil:
		return errors.New("it has a body")
	case body == "" && o.RequestBody.Value.Required:
		return errors.New("it has no body")
	case body == "":
		return nil
	}
	return c.fits(at+pointer("requestBody", "content", "application/json", "schema"), body)
}

// nothingThere is what an address that is not described has to answer, or one that is by another method.
func (c *contract) nothingThere(r reply) error {
	if r.Status != http.StatusNotFound && (r.Status != http.StatusMethodNotAllowed || r.Header.Get("Allow") == "") {
		return errors.New("there is no such address")
	}
	return c.fits(pointer("components", "schemas", "Problem"), r.Text)
}

// fits holds a JSON text against the schema at a place in the document.
func (c *contract) fits(at, text string) error {
	schema, err := c.schema(at)
	if err != nil {
		return err
	}
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		return err
	}
	if err := schema.Validate(value); err != nil {
		return errors.New(brief(err))
	}
	return nil
}

func (c *contract) schema(at string) (*jsonschema.Schema, error) {
	c.lock.Lock()
	defer c.lock.Unlock()
	if s := c.schemas[at]; s != nil {
		return s, nil
	}
	s, err := c.compiler.Compile("openapi.json#" + at)
	c.schemas[at] = s
	return s, err
}

// pointer is the way down into a document by RFC 6901.
func pointer(names ...string) string {
	escaped := strings.NewReplacer("~", "~0", "/", "~1")
	var b strings.Builder
	for _, name := range names {
		b.WriteString("/" + escaped.Replace(name))
	}
	return b.String()
}

// brief gives the first differences of a long error, without what only says that there are some.
func brief(err error) string {
	const most = 3
	var told []string
	for _, line := range strings.Split(err.Error(), "\n") {
		line = strings.TrimSpace(line)
		if !strings.HasPrefix(line, "jsonschema validation failed") && !strings.HasSuffix(line, "': validation failed") {
			told = append(told, line)
		}
	}
	if len(told) > most {
		told = append(told[:most], "and more")
	}
	return strings.Join(told, "\n")
}

func TestTheDescriptionIsServed(t *testing.T) {
	c := theContract(t)
	if !c.doc.IsOpenAPI31OrLater() {
		t.Errorf("it is written in OpenAPI %s", c.doc.OpenAPI)
	}
	h := newHouse(t, "2027-03-03T09:00:00Z")
	got := h.reply(h.send(request("GET", "/api/v1/openapi.yaml", "", "")))
	if got.Status != http.StatusOK || got.Header.Get("Content-Type") != "application/yaml" || got.Text != string(openAPI) {
		t.Errorf("%d %s, %d bytes", got.Status, got.Header.Get("Content-Type"), len(got.Text))
	}
}

var pathParameter = regexp.MustCompile(`:(\w+)`)

func TestEveryRouteIsDescribedAndNothingElse(t *testing.T) {
	described, mounted := map[string]bool{}, map[string]bool{}
	for path, item := range theContract(t).doc.Paths.Map() {
		for method := range item.Operations() {
			described[method+" "+path] = true
		}
	}
	h := newHouse(t, "2027-03-03T09:00:00Z")
	for _, r := range h.app.fiber.GetRoutes(true) {
		health := slices.Contains([]string{"/healthz", "/readyz", "/metrics"}, r.Path)
		if r.Method != fiber.MethodHead && (health || strings.HasPrefix(r.Path, "/api/v1/")) {
			mounted[r.Method+" "+pathParameter.ReplaceAllString(r.Path, "{$1}")] = true
		}
	}
	for _, route := range slices.Sorted(maps.Keys(mounted)) {
		if !described[route] {
			t.Errorf("%s is not described", route)
		}
	}
	for _, route := range slices.Sorted(maps.Keys(described)) {
		if !mounted[route] {
			t.Errorf("%s is described and not there", route)
		}
	}
}

// An operation has a name of its own, describes the parameters of its path, and tells by a problem what went wrong.
func TestEveryOperationIsWhole(t *testing.T) {
	names := map[string]string{}
	for path, item := range theContract(t).doc.Paths.Map() {
		for method, o := range item.Operations() {
			route := method + " " + path
			if before := names[o.OperationID]; before != "" || o.OperationID == "" || o.Summary == "" || len(o.Tags) != 1 {
				t.Errorf("%s: its name %q is that of %q, or it has no summary or tag", route, o.OperationID, before)
			}
			names[o.OperationID] = route
			open := o.Security != nil && len(*o.Security) == 0
			if open == strings.HasPrefix(path, "/api/v1/") && path != "/api/v1/openapi.yaml" {
				t.Errorf("%s: open to everybody is %v", route, open)
			}
			for status, response := range o.Responses.Map() {
				if status >= "400" && status < "500" && response.Value.Content["application/problem+json"] == nil {
					t.Errorf("%s: %s is no problem", route, status)
				}
			}
			for _, name := range regexp.MustCompile(`{(\w+)}`).FindAllStringSubmatch(path, -1) {
				if o.Parameters.GetByInAndName(openapi3.ParameterInPath, name[1]) == nil {
					t.Errorf("%s: %s is not described", route, name[0])
				}
			}
		}
	}
}

// The check itself must see what drifts.
func TestAnExchangeThatDriftsIsSeen(t *testing.T) {
	c := theContract(t)
	header := func(kind string) http.Header { return http.Header{"Content-Type": {kind}} }
	whole := map[string]any{"kind": "text", "code": "x", "text": "x", "tag": "", "words": "nothing", "url": "/cylinders?q=x", "gs1": nil, "choices": []any{}}
	text := func(change func(map[string]any)) string {
		answer := maps.Clone(whole)
		change(answer)
		out, err := json.Marshal(answer)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	same := text(func(map[string]any) {})
	for _, test := range []struct {
		name, path string
		r          reply
		says       string // "" where all is well
	}{
		{"as described", "/api/v1/scan?text=x", reply{Status: 200, Header: header("application/json"), Text: same}, ""},
		{"a field more", "/api/v1/scan?text=x", reply{Status: 200, Header: header("application/json"), Text: text(func(a map[string]any) { a["lot"] = "x" })}, "lot"},
		{"a field less", "/api/v1/scan?text=x", reply{Status: 200, Header: header("application/json"), Text: text(func(a map[string]any) { delete(a, "url") })}, "url"},
		{"another type", "/api/v1/scan?text=x", reply{Status: 200, Header: header("application/json"), Text: text(func(a map[string]any) { a["text"] = 5 })}, "/text"},
		{"another word", "/api/v1/scan?text=x", reply{Status: 200, Header: header("application/json"), Text: text(func(a map[string]any) { a["kind"] = "pallet" })}, "/kind"},
		{"another status", "/api/v1/scan?text=x", reply{Status: 204, Header: header("application/json"), Text: same}, "status"},
		{"another content", "/api/v1/scan?text=x", reply{Status: 200, Header: header("text/html; charset=utf-8"), Text: same}, "text/html"},
		{"a parameter more", "/api/v1/scan?text=x&page=2", reply{Status: 200, Header: header("application/json"), Text: same}, "page"},
		{"no challenge", "/api/v1/scan", reply{Status: 401, Header: header("application/problem+json"), Text: "{}"}, "Www-Authenticate"},
		{"an empty problem", "/api/v1/cylinders/1", reply{Status: 404, Header: header("application/problem+json"), Text: "{}"}, "detail"},
		{"an address that is not there", "/api/v1/pallets", reply{Status: 200, Header: header("application/json"), Text: "{}"}, "address"},
	} {
		err := c.check("GET", test.path, "", test.r)
		if (err == nil) != (test.says == "") || err != nil && !strings.Contains(strings.ToLower(err.Error()), strings.ToLower(test.says)) {
			t.Errorf("%s: %v", test.name, err)
		}
	}
	moved := reply{Status: 201, Header: header("application/json"), Text: `{"tag":"7F3K-2QAQ","place":"CAGE","findings":[],"version":2}`}
	for body, says := range map[string]string{`{"place":"CAGE"}`: "", `{"place":"CAGE","shelf":"3"}`: "shelf", `{}`: "place", "": "no body"} {
		if err := c.check("POST", "/api/v1/cylinders/7F3K-2QAQ/move", body, moved); (err == nil) != (says == "") || err != nil && !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", body, err)
		}
	}
}
