package gs1

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

// row is one reference case in the words of the calculators.
type row struct {
	ID   string          `json:"id"`
	In   json.RawMessage `json:"in"`
	Want map[string]any  `json:"want"`
}

func readRows(t testing.TB, name string) []row {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "gs1", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

// runCases puts every row of a file to a calculator and compares what comes out as JSON; other names do no harm.
func runCases[Q, A any](t *testing.T, name string, calculate func(Q) (A, error)) {
	for _, r := range readRows(t, name) {
		t.Run(r.ID, func(t *testing.T) {
			var question Q
			decoder := json.NewDecoder(bytes.NewReader(r.In))
			decoder.DisallowUnknownFields()
			if err := decoder.Decode(&question); err != nil {
				t.Fatal(err)
			}
			answer, err := calculate(question)
			if err != nil {
				t.Fatal(err)
			}
			got := asJSON(t, answer)
			for name, want := range r.Want {
				if value, there := got[name]; !there || !reflect.DeepEqual(value, want) {
					t.Errorf("%s: got %v, want %v", name, value, want)
				}
			}
		})
	}
}

func asJSON(t *testing.T, v any) map[string]any {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	return got
}

func TestCases(t *testing.T) {
	t.Run("gs1_parse", func(t *testing.T) { runCases(t, "gs1_parse", CalcScan) })
	t.Run("gs1_values", func(t *testing.T) { runCases(t, "gs1_values", CalcValues) })
}
