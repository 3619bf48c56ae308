package fit

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// outing is everything that Fittings looks at.
type outing struct {
	test   Test
	bottle Bottle
	set    Set
	of     []Instruments
}

func (o outing) worst() problem.Severity {
	return problem.Worst(Fittings(o.test, o.bottle, o.set, o.of, figures))
}

func formula() *rapid.Generator[string] {
	var all []string
	for formula := range wettedRows {
		all = append(all, formula)
	}
	slices.Sort(all)
	return rapid.SampledFrom(append(all, "COS", "XeF6"))
}

func anyOuting(t *rapid.T) outing {
	flow := rapid.SampledFrom([]unit.Flow{0, 250, 300, 400, 1000})
	o := outing{test: Test{Purpose: rapid.SampledFrom([]Purpose{Bump, Line, Zero, Check, Calibration}).Draw(t, "purpose"), Flow: flow.Draw(t, "procedure"), Until: "2027-03-05"}}
	o.bottle = Bottle{Outlet: rapid.SampledFrom(adaptable).Draw(t, "outlet"), FillBar: rapid.Float64Range(1, 120).Draw(t, "fill"), HotVehicle: rapid.Bool().Draw(t, "hot")}
	o.bottle.Gas = ofGas(strings.Join(rapid.SliceOfN(formula(), 1, 3).Draw(t, "gas"), " "))
	o.set.Regulator = &Regulator{
		Code: "R-05", Inlet: rapid.SampledFrom(adaptable).Draw(t, "inlet"), MaxBar: rapid.Float64Range(1, 200).Draw(t, "rating"), Absolute: rapid.Bool().Draw(t, "absolute"),
		Demand: rapid.Bool().Draw(t, "demand"), Flow: flow.Draw(t, "flow"), Vented: rapid.Bool().Draw(t, "vented"), Body: rapid.SampledFrom(append([]string{""}, bodies...)).Draw(t, "body"),
	}
	if rapid.Bool().Draw(t, "adapted") {
		o.set.Regulator.Adapter = &Adapter{"CGA C-10", "CGA 600", rapid.Float64Range(1, 200).Draw(t, "adapter")}
	}
	o.set.Tubing = &Tubing{Code: "T-02", Material: rapid.SampledFrom(append([]string{"", "nylon"}, tubings...)).Draw(t, "tubing"), Length: unit.Length(rapid.Int64Range(0, 6000).Draw(t, "length"))}
	if rapid.Bool().Draw(t, "named") {
		o.of = []Instruments{{Model: "M", Sampling: rapid.SampledFrom([]Sampling{"", Diffusion, Pumped}).Draw(t, "sampling"), FlowOne: flow.Draw(t, "manual"), PumpFlow: flow.Draw(t, "pump")}}
	}
	return o
}

// More against it never makes the worst verdict milder.
func TestWhatIsWorseIsNeverMilder(t *testing.T) {
	for name, worsen := range map[string]func(*rapid.T, *outing){
		"a component more": func(t *rapid.T, o *outing) {
			more := formula().Draw(t, "component")
			o.bottle.Parts = append(slices.Clone(o.bottle.Parts), Part{Component: more})
		},
		"a balance": func(t *rapid.T, o *outing) { o.bottle.Balance = formula().Draw(t, "balance") },
		"longer tubing": func(t *rapid.T, o *outing) {
			o.set.Tubing.Length += unit.Length(rapid.Int64Range(0, 6000).Draw(t, "longer"))
		},
		"a lower rating": func(t *rapid.T, o *outing) {
			o.set.Regulator.MaxBar *= rapid.Float64Range(0, 1).Draw(t, "lower")
		},
		"a lower rating of the adapter": func(t *rapid.T, o *outing) {
			if o.set.Regulator.Adapter != nil {
				o.set.Regulator.Adapter.MaxBar *= rapid.Float64Range(0, 1).Draw(t, "lower")
			}
		},
		"a higher fill": func(t *rapid.T, o *outing) {
			o.bottle.FillBar *= rapid.Float64Range(1, 3).Draw(t, "higher")
		},
		"a last gas of the regulator": func(t *rapid.T, o *outing) { o.set.Regulator.LastGas = []string{formula().Draw(t, "last")} },
		"a last gas of the tubing":    func(t *rapid.T, o *outing) { o.set.Tubing.LastGas = []string{formula().Draw(t, "last")} },
		"a date that is due":          func(_ *rapid.T, o *outing) { o.set.Tubing.DueOn = "2027-03-01" },
		"no adapter":                  func(_ *rapid.T, o *outing) { o.set.Regulator.Adapter = nil },
	} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			o := anyOuting(t)
			before := o.worst()
			worsen(t, &o)
			if after := o.worst(); before != "" && (after == "" || after.Milder(before)) {
				t.Fatalf("it was %s, and is %q", before, after)
			}
		}))
	}
}

// The value of the gas counts in a calibration; nothing is asked of a bump that is not asked of it.
func TestBumpIsNeverJudgedHarder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOuting(t)
		o.test.Purpose = Calibration
		exact := o.worst()
		o.test.Purpose = Bump
		if bump := o.worst(); bump != "" && (exact == "" || exact.Milder(bump)) {
			t.Fatalf("a bump is %s, a calibration %q", bump, exact)
		}
	})
}

func TestEveryFindingIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOuting(t)
		for _, f := range Fittings(o.test, o.bottle, o.set, o.of, figures) {
			if f.Rule == "" || f.Severity == "" || f.Subject == "" || f.Text == "" || f.Advice == "" {
				t.Fatalf("got %+v", f)
			}
			if strings.Contains(f.Advice, "adapter") {
				t.Fatalf("an adapter is proposed: %+v", f)
			}
		}
	})
}

// What fits C-10 fits however it is spelled.
func TestSpellingDoesNotMatter(t *testing.T) {
	spelled := rapid.SampledFrom([]string{"C-10", "C10", "c 10", "CGA C-10", "cga-c10", "CGA No. C-10", " C-10 "})
	rapid.Check(t, func(t *rapid.T) {
		q := good()
		q.Cylinder.Outlet, q.Regulator.Inlet = spelled.Draw(t, "outlet"), spelled.Draw(t, "inlet")
		if answer, err := CalcFit(q); err != nil || !answer.OK {
			t.Fatalf("%+v, %v", answer, err)
		}
		q.Regulator.Inlet, q.Regulator.Adapter = "600", &FitAdapter{spelled.Draw(t, "from"), "CGA 600", 69}
		if answer, err := CalcFit(q); err != nil || !answer.OK {
			t.Fatalf("with its adapter: %+v, %v", answer, err)
		}
	})
}
