package handlers

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"spanroom/internal/auth"
)

// day is every order that the description shows, in an order in which a storeroom can do them.
var day = []string{
	"/components", "/suppliers", "/places", "/blends", "/items", "/regulators", "/tubings", "/procedures", "/models", "/caps", "/instruments", "/rounds", "/settings",
	"/receipts", "/lots/{id}/certificate", "/checkouts/recommend", "/checkouts", "/checkouts/{id}/tests", "/checkouts/{id}/return",
	"/cylinders/{tag}/move", "/cylinders/{tag}/reading", "/cylinders/{tag}/label", "/holds", "/holds/{id}/release", "/issues",
	"/calc/z", "/calc/contents", "/calc/tests-left", "/calc/condensation", "/calc/lel", "/calc/lfl", "/calc/expiry", "/calc/fit", "/calc/scan", "/calc/gs1",
}

// Whoever copies an example from the description must not be refused.
func TestEveryDescribedExampleWorks(t *testing.T) {
	h := newHouse(t, "2026-11-24T09:00:00Z")
	h.must(auth.Supervisor, "POST", "/places", `{"code":"BENCH","kind":"bench"}`)
	h.must(auth.Supervisor, "POST", "/places", `{"code":"VAN-1","kind":"van"}`)
	h.must(auth.Supervisor, "POST", "/items", `{"code":"FILTER-H","kind":"filter","name":"hydrophobic filter"}`)
	examples := describedExamples(t)
	tag, id := "", ""
	for _, path := range day {
		example, there := examples[path]
		if !there {
			t.Fatalf("%s shows no example", path)
		}
		at := strings.NewReplacer("{tag}", tag, "{id}", id).Replace(path)
		answer := h.must(auth.Supervisor, "POST", at, strings.ReplaceAll(example, exampleTag, tag))
		if pick, picked := answer["pick"].(map[string]any); picked {
			tag = fmt.Sprint(pick["tag"])
		}
		if lot, came := answer["lot"].(map[string]any); came {
			id = fmt.Sprint(lot["id"])
		}
		if number, named := answer["id"].(float64); named {
			id = fmt.Sprint(number)
		}
	}
	for path := range examples {
		if !slices.Contains(day, path) {
			t.Errorf("the example of %s is not tried", path)
		}
	}
}

// exampleTag stands in the examples for a tag that the storeroom gave.
const exampleTag = "7F3K-2QAQ"

// describedExamples gives the bodies that are shown for the API's posts, by path.
func describedExamples(t *testing.T) map[string]string {
	t.Helper()
	examples := map[string]string{}
	for path, item := range theContract(t).doc.Paths.Map() {
		if item.Post == nil || item.Post.RequestBody == nil {
			continue
		}
		if media := item.Post.RequestBody.Value.Content["application/json"]; media.Example != nil {
			examples[strings.TrimPrefix(path, "/api/v1")] = asText(t, media)
		}
	}
	return examples
}

func asText(t *testing.T, media *openapi3.MediaType) string {
	t.Helper()
	text, err := json.Marshal(media.Example)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
