package gas

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// row is one reference case in the words of the calculators.
type row struct {
	ID   string             `json:"id"`
	In   json.RawMessage    `json:"in"`
	Want map[string]any     `json:"want"`
	Tol  map[string]float64 `json:"tol"`
}

func readRows(t *testing.T, name string) []row {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "gas", name+".json"))
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

// runCases puts every row of a file to a calculator and compares what comes out as JSON.
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
			for _, fault := range r.faults(asJSON(t, answer)) {
				t.Error(fault)
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

// faults lists where got differs from what the row wants; other names in got do no harm.
func (r row) faults(got map[string]any) []string {
	var faults []string
	for name, want := range r.Want {
		if !r.agree(name, want, got[name]) {
			faults = append(faults, fmt.Sprintf("%s: got %v, want %v", name, got[name], want))
		}
	}
	return faults
}

func (r row) agree(name string, want, got any) bool {
	a, numeric := want.(float64)
	if !numeric {
		return want == got
	}
	b, ok := got.(float64)
	return ok && math.Abs(a-b) <= r.tolerance(name, a)
}

func (r row) tolerance(name string, want float64) float64 {
	if abs, ok := r.Tol[name]; ok {
		return abs
	}
	if percent, ok := r.Tol[name+"_pct"]; ok {
		return percent / 100 * math.Abs(want)
	}
	if percent, ok := r.Tol["all_pct"]; ok {
		return percent / 100 * math.Abs(want)
	}
	if count, ok := r.Tol["count_abs"]; ok && strings.HasPrefix(name, "tests") {
		return count
	}
	return 1e-9
}

func TestCases(t *testing.T) {
	t.Run("z_factor", func(t *testing.T) { runCases(t, "z_factor", CalcZ) })
	t.Run("quantity", func(t *testing.T) { runCases(t, "quantity", CalcContents) })
	t.Run("condensation", func(t *testing.T) { runCases(t, "condensation", CalcCondensation) })
	t.Run("tests_left", func(t *testing.T) { runCases(t, "tests_left", CalcTestsLeft) })
	t.Run("lel", func(t *testing.T) { runCases(t, "lel", CalcLEL) })
	t.Run("iso10156_lfl", func(t *testing.T) { runCases(t, "iso10156_lfl", CalcLFL) })
}

// The comparison itself must be able to say no.
func TestTolerance(t *testing.T) {
	r := row{
		Want: map[string]any{"z": 1.0, "tests_low": 10.0, "usable_l": 50.0, "below_heel": false, "risk": nil},
		Tol:  map[string]float64{"z": 0.1, "count_abs": 1, "usable_l_pct": 2},
	}
	good := map[string]any{"z": 1.09, "tests_low": 11.0, "usable_l": 50.9, "below_heel": false, "more": 1.0}
	if faults := r.faults(good); len(faults) != 0 {
		t.Errorf("faults in a good answer: %v", faults)
	}
	bad := map[string]any{"z": 1.11, "tests_low": 12.0, "usable_l": 51.1, "below_heel": true, "risk": true}
	if faults := r.faults(bad); len(faults) != len(bad) {
		t.Errorf("found only %v", faults)
	}
	if r.agree("other", 1.0, 1.0+1e-8) {
		t.Error("without a tolerance a number agrees to 1e-9")
	}
}
