package gas

import (
	"errors"
	"math"
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// wantFields demands an invalid failure that names exactly these fields.
func wantFields(t *testing.T, err error, names ...string) {
	t.Helper()
	var e *problem.Error
	if !errors.As(err, &e) || e.Kind != problem.Invalid {
		t.Fatalf("got %v, want an invalid failure", err)
	}
	var got []string
	for _, f := range e.Fields {
		got = append(got, f.Name)
		if f.Text == "" || f.Advice == "" {
			t.Errorf("field %s says %q and advises %q", f.Name, f.Text, f.Advice)
		}
	}
	if strings.Join(got, " ") != strings.Join(names, " ") {
		t.Errorf("fields %v, want %v", got, names)
	}
}

// wantRefused demands a refusal whose text names something, with a next step.
func wantRefused(t *testing.T, err error, naming string) {
	t.Helper()
	var e *problem.Error
	if !errors.As(err, &e) || e.Kind != problem.Refused {
		t.Fatalf("got %v, want a refusal", err)
	}
	if !strings.Contains(e.Detail, naming) || e.Advice == "" {
		t.Errorf("the refusal %q (%q) does not name %s with a next step", e.Detail, e.Advice, naming)
	}
}

func mixture(t testing.TB, mix Mix) *Mixture {
	t.Helper()
	m, err := NewMixture(mix)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestNormalWritesOutAir(t *testing.T) {
	normal, err := Mix{"air": 0.95, "N2": 0.05, "CO": 0}.Normal()
	if err != nil {
		t.Fatal(err)
	}
	if len(normal) != 3 {
		t.Errorf("got %v, want N2, O2 and Ar", normal)
	}
	near(t, "N2", normal["N2"], 0.05+0.95*0.7812, 1e-12)
	near(t, "O2", normal["O2"], 0.95*0.2096, 1e-12)
	near(t, "Ar", normal["Ar"], 0.95*0.0092, 1e-12)
}

func TestNormalTakesRoundedFractionsToOne(t *testing.T) {
	normal, err := Mix{"N2": 0.7995, "O2": 0.2}.Normal()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sum", normal.sum(), 1, 1e-12)
	near(t, "N2", normal["N2"], 0.7995/0.9995, 1e-12)
}

func TestMixCheckNamesTheComponent(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	wantFields(t, Mix{"N2": 1.2, "CH4": -0.2}.Check(), "CH4", "N2")
	wantFields(t, Mix{"N2": nan, "O2": 0.5}.Check(), "N2")
	wantFields(t, Mix{"N2": inf}.Check(), "N2")
	wantFields(t, Mix{"": 0.5, "N2": 0.5}.Check(), "")
	wantFields(t, Mix{strings.Repeat("C", 41): 0.5, "N2": 0.5}.Check(), "")
}

func TestMixCheckWantsASumOfOne(t *testing.T) {
	for _, mix := range []Mix{nil, {}, {"N2": 0.99}, {"N2": 0.9, "O2": 0.102}, {"N2": 0}} {
		if err := mix.Check(); problem.KindOf(err) != problem.Invalid {
			t.Errorf("%v: got %v, want an invalid failure", mix, err)
		}
	}
	if err := (Mix{"N2": 0.9, "O2": 0.1005}).Check(); err != nil {
		t.Errorf("rounding is no fault: %v", err)
	}
}

func TestTracesCountAsBalance(t *testing.T) {
	pure := mixture(t, Mix{"N2": 1}).At(293.15)
	traced := mixture(t, Mix{"N2": 0.999, "SiH4": 0.0005, "AsH3": 0.0005}).At(293.15)
	if pure != traced {
		t.Errorf("traces change the state from %v to %v", pure, traced)
	}
}

func TestUnknownComponentIsRefusedByName(t *testing.T) {
	_, err := NewMixture(Mix{"N2": 0.995, "SiH4": 0.005})
	wantRefused(t, err, "SiH4")
	_, err = NewMixture(Mix{"SiH4": 1})
	wantRefused(t, err, "SiH4")
}

func TestOnlyTracesIsNoMixture(t *testing.T) {
	mix := Mix{}
	for i := range 1000 {
		mix["X"+strings.Repeat("x", i%30)+string(rune('a'+i/30%26))+string(rune('a'+i/780))] = 0.001
	}
	if len(mix) != 1000 {
		t.Fatalf("the test made only %d names", len(mix))
	}
	_, err := NewMixture(mix)
	wantRefused(t, err, "no component")
}
