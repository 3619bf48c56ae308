package stock

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// reg, tube and capFor are pieces at BENCH as the catalogue enters them.
func reg(code, inlet string, bar, flow float64, body string, lastGas ...string) *piece {
	x := fit.Regulator{Code: code, Inlet: fit.Outlet(inlet), MaxBar: bar, Flow: unit.Flow(flow * 1000), Demand: flow == 0, Body: body, LastGas: lastGas}
	row := models.Regulator{Code: code, Inlet: inlet, MaxPressure: unit.PressureBar(bar), Mode: catalogue.FixedFlow, Flow: x.Flow, Body: body}
	if x.Demand {
		row.Mode = catalogue.DemandFlow
	}
	return &piece{kind: ofRegulator, code: code, what: code, place: "BENCH", set: fit.Set{Regulator: &x}, row: &row}
}

func tube(code, material string, metres float64, lastGas ...string) *piece {
	return &piece{kind: ofTubing, code: code, what: material, place: "BENCH", set: fit.Set{Tubing: &fit.Tubing{Code: code, Material: material, Length: unit.Length(metres * 1000), LastGas: lastGas}}}
}

func capFor(code string, models ...string) *piece {
	return &piece{kind: ofCap, code: code, what: "cap", place: "BENCH", set: fit.Set{Cap: &fit.Cap{Code: code, Models: models}}}
}

func but(p *piece, change func(*piece)) *piece {
	change(p)
	return p
}

func at(place string) func(*piece) { return func(p *piece) { p.place = place } }

// outWith gives the piece to somebody since 07:12.
func outWith(name string, tag unit.Tag) func(*piece) {
	return func(p *piece) { p.place, p.with, p.tag, p.since = "", name, tag, shelfOf().at-48*60*1000 }
}

func leftOn(tag unit.Tag, place string) func(*piece) {
	return func(p *piece) { p.place, p.tag, p.leftOn = place, tag, true }
}

// diffusion and pumped are instruments of one model each.
func diffusion(model string) fit.Instruments {
	return fit.Instruments{Serials: []string{"D-001"}, Model: model, Sampling: fit.Diffusion, FlowMin: 250, FlowMax: 500}
}

func pumped(rate unit.Flow) fit.Instruments {
	return fit.Instruments{Serials: []string{"P-001"}, Model: "PUMP-4", Sampling: fit.Pumped, PumpFlow: rate}
}

// having names the instruments of every test of a need, and takes the regulator out of it.
func (n need) having(on ...fit.Instruments) need {
	n.on, n.along = on, kitSet{}
	n.tests = slices.Clone(n.tests)
	for i := range n.tests {
		n.tests[i].on = on
	}
	return n
}

// furnished is a field of one cylinder with some pieces at hand, for somebody at BENCH.
func furnished(n need, c cylinder, pieces ...*piece) *field {
	n.place = "BENCH"
	f := shelfOf().judged(n, c)
	f.kits = kits{pieces: pieces, places: map[string]string{"BENCH": "bench", "CAGE": "cage", "CAB-T": "cabinet", "VAN-1": "van", "STOKE": "site"}}
	return f
}

func (f *field) kitOf(t *testing.T) Kit {
	t.Helper()
	kit, _ := f.kit(f.candidates[0])
	return kit
}

func codesOf(kit Kit) string {
	word := func(code *string) string {
		if code == nil {
			return "-"
		}
		return *code
	}
	return word(kit.Regulator) + " " + word(kit.Tubing) + " " + word(kit.Cap)
}

var (
	bumpCL = models.Procedure{ID: 5, Code: "bump-cl", Purpose: "bump", Flow: 1000, Duration: 60}
	calCL  = models.Procedure{ID: 6, Code: "cal-cl", Purpose: "calibration", Flow: 1000, Duration: 180, Conditioning: 300}
)

func TestKitNamesWhatIsHereAndFits(t *testing.T) {
	const c10 = "CGA C-10"
	q4, cl := bottle("2222-222A", q4Lot("2027-09-01")), bottle("3333-333B", clLot("2027-12-01"))
	zero := with(bottle("4444-444C", q4Lot("2027-09-01")), func(c *cylinder) { c.item.Outlet = "CGA 600" })
	good, tubes := reg("R-01", c10, 103, 0.3, "stainless"), []*piece{tube("T-04", "PVC", 0.8), tube("T-01", "FEP", 0.6)}
	bumpsOfCL, calsOfCL := needOf(bumpCL, 6).having(), needOf(calCL, 6).having()
	for name, c := range map[string]struct {
		need    need
		of      cylinder
		pieces  []*piece
		want    string
		missing string
	}{
		"S39 brass and chlorine":             {bumpsOfCL, cl, []*piece{reg("R-02", c10, 103, 1, "brass")}, "- - -", "R-02: the body of regulator R-02 is brass, which is not for Cl2; permitted is stainless"},
		"S39 PVC and chlorine":               {bumpsOfCL, cl, []*piece{tube("T-04", "PVC", 0.5)}, "- - -", "no tubing for Cl2 is here; T-04: tubing T-04 is of PVC, which is not for Cl2; permitted is"},
		"S39 tubing last used with NH3":      {bumpsOfCL, cl, []*piece{tube("T-03", "PTFE", 0.5, "NH3"), tube("T-02", "PTFE", 0.5, "Cl2")}, "- T-02 -", ""},
		"S39 no other tubing":                {bumpsOfCL, cl, []*piece{tube("T-03", "PTFE", 0.5, "NH3")}, "- - -", "no tubing for Cl2 is here; T-03: fits, but was last used on NH3"},
		"S39 H2S and PVC, and FEP is here":   {bumps(14).having(), q4, slices.Concat([]*piece{good}, tubes), "R-01 T-01 -", "cap as the instrument maker's manual says"},
		"S39 H2S and PVC alone":              {bumps(14).having(), q4, tubes[:1], "- - -", "T-04: tubing T-04 is of PVC, which takes up H2S at first: longer exposure"},
		"S40 another outlet":                 {bumps(14).having(), zero, []*piece{good, but(reg("R-07", "CGA 600", 103, 0.3, "stainless"), at("CAB-T"))}, "R-07 - -", "tubing and cap as the instrument maker's manual says"},
		"S40 none with that outlet":          {bumps(14).having(), zero, []*piece{good}, "- - -", "no regulator for CGA 600, 69 bar and this flow is here; tubing and cap as"},
		"S40 an adapter that belongs to it":  {bumps(14).having(), zero, []*piece{but(reg("R-08", c10, 103, 0.3, "stainless"), func(p *piece) { p.set.Regulator.Adapter = &fit.Adapter{From: "CGA 600", To: c10, MaxBar: 69} })}, "R-08 - -", ""},
		"S90 fits, but was last used on NH3": {bumpsOfCL, cl, []*piece{reg("R-05", c10, 103, 1, "stainless", "NH3")}, "- - -", "no regulator for CGA C-10, 69 bar and this flow is here; R-05: fits, but was last used on NH3"},
		"S92 rated 1000 psi":                 {bumps(14).having(), q4, []*piece{reg("R-01", c10, 68.95, 0.3, "stainless")}, "R-01 - -", ""},
		"S92 rated 500 psi":                  {bumps(14).having(), q4, []*piece{reg("R-06", c10, 34.47, 0.3, "stainless")}, "- - -", "R-06: regulator R-06 is rated 34.47 bar"},
		"S97 no tee, calibration":            {cals(2).having(pumped(450)), q4, []*piece{reg("R-09", c10, 103, 1, "stainless")}, "- - -", "R-09: regulator R-09 gives 1 L/min, the pump of PUMP-4 draws 0.45 L/min, and there is no open tee"},
		"S97 no tee, bump":                   {bumps(2).having(pumped(450)), q4, []*piece{reg("R-09", c10, 103, 1, "stainless")}, "- - -", "R-09: regulator R-09 gives 1 L/min"},
		"S97 with a tee":                     {cals(2).having(pumped(450)), q4, []*piece{but(reg("R-09", c10, 103, 1, "stainless"), func(p *piece) { p.set.Regulator.Vented = true })}, "R-09 - -", ""},
		"on demand, for a pump":              {cals(2).having(pumped(300)), q4, []*piece{reg("R-02", c10, 103, 0, "stainless")}, "R-02 - -", ""},
		"on demand, nobody knows for what":   {cals(2).having(), q4, []*piece{reg("R-02", c10, 103, 0, "stainless")}, "- - -", "no regulator for CGA C-10, 69 bar and this flow is here"},
		"another flow than the procedure's":  {bumps(2).having(), q4, []*piece{reg("R-04", c10, 103, 0.31, "stainless")}, "- - -", "no regulator for"},
		"within the manual's range":          {bumps(2).having(diffusion("DIFF-4")), q4, []*piece{reg("R-04", c10, 103, 0.45, "stainless")}, "R-04 - -", "tubing and cap as the instrument maker's manual says"},
		"the cap of the model":               {bumps(2).having(diffusion("DIFF-4")), q4, []*piece{capFor("C-02", "DIFF-1"), capFor("C-01", "DIFF-1", "DIFF-4")}, "- - C-01", "no regulator for"},
		"no cap of the model":                {bumps(2).having(diffusion("DIFF-4")), q4, []*piece{capFor("C-02", "DIFF-1")}, "- - -", "no cap for DIFF-4 is here; C-02: cap C-02 is for DIFF-1, not for DIFF-4"},
		"a pump takes no cap":                {bumps(2).having(pumped(300)), q4, []*piece{capFor("C-02", "DIFF-1"), capFor("C-03")}, "- - -", "no regulator for CGA C-10, 69 bar and this flow is here; tubing as the instrument maker's manual says"},
		"runs dry at its flow":               {bumps(200).having(diffusion("DIFF-4")), dial(q4.opened(40, "2027-02-01")), []*piece{reg("R-04", c10, 103, 0.5, "stainless")}, "- - -", "R-04: "},
		"out of service":                     {bumps(2).having(), q4, []*piece{but(reg("R-01", c10, 103, 0.3, "stainless"), func(p *piece) { p.upkeep().OutOfService = true })}, "- - -", "R-01: regulator R-01 is out of service"},
		"its check is due":                   {bumps(2).having(), q4, []*piece{but(reg("R-01", c10, 103, 0.3, "stainless"), func(p *piece) { p.upkeep().DueOn = "2027-03-01" })}, "- - -", "R-01: the check of regulator R-01 is due on 1 Mar 2027"},
		"used to the count":                  {bumps(2).having(), q4, []*piece{but(reg("R-01", c10, 103, 0.3, "stainless"), func(p *piece) { p.upkeep().Uses, p.upkeep().DueAfterUses = 50, 50 })}, "- - -", "R-01: regulator R-01 has been used 50 times"},
		"chlorine's own for anything else":   {bumps(2).having(), q4, []*piece{reg("R-01", c10, 103, 0.3, "stainless", "Cl2")}, "- - -", "R-01: fits, but was last used on Cl2"},
		"calibration with long tubing":       {calsOfCL, cl, []*piece{tube("T-05", "PTFE", 3)}, "- - -", "T-05: tubing T-05 is 3 m long"},
		"none is in the catalogue":           {bumps(2).having(), q4, nil, "- - -", "no regulator for CGA C-10, 69 bar and this flow is here; tubing and cap as the instrument maker's manual says"},
	} {
		kit := furnished(c.need, c.of, c.pieces...).kitOf(t)
		if codesOf(kit) != c.want {
			t.Errorf("%s: named are %s, want %s; missing is %s", name, codesOf(kit), c.want, kit.Missing)
		}
		contains(t, name, kit.Missing, c.missing)
	}
}

func TestKitSaysWhereTheMissingOneIs(t *testing.T) {
	q4 := bottle("2222-222A", q4Lot("2027-09-01"))
	r03 := func(change func(*piece)) []*piece {
		return []*piece{but(reg("R-03", "CGA C-10", 103, 0.3, "stainless"), change)}
	}
	for name, c := range map[string]struct {
		pieces  []*piece
		want    string
		missing string
	}{
		"with somebody":            {r03(outWith("technician B", "7F3K-2")), "- - -", "; R-03 is with technician B on 7F3K-2 since 07:12"},
		"in a van":                 {r03(at("VAN-1")), "- - -", "; R-03 is at VAN-1"},
		"at another site":          {r03(at("STOKE")), "- - -", "; R-03 is at STOKE"},
		"on a cylinder in a van":   {r03(leftOn("7F3K-2", "VAN-1")), "- - -", "; R-03 is left on 7F3K-2, at VAN-1"},
		"on hold":                  {r03(func(p *piece) { p.holds = []models.Hold{{Reason: Damaged}} }), "- - -", "; R-03 is on hold: Damaged/doubtful"},
		"the nearest of two":       {append(r03(func(p *piece) { p.holds = []models.Hold{{Reason: Damaged}} }), but(reg("R-04", "CGA C-10", 103, 0.3, "stainless"), outWith("B", "7F3K-2"))), "- - -", "; R-04 is with B"},
		"at another place on site": {r03(at("CAB-T")), "R-03 - -", "tubing and cap as the instrument maker's manual says"},
		"nobody entered where":     {r03(at("")), "R-03 - -", "tubing and cap as the instrument maker's manual says"},
	} {
		kit := furnished(bumps(2).having(), q4, c.pieces...).kitOf(t)
		if codesOf(kit) != c.want {
			t.Errorf("%s: named are %s, want %s", name, codesOf(kit), c.want)
		}
		contains(t, name, kit.Missing, c.missing)
	}
	tubing := []*piece{but(tube("T-02", "PTFE", 0.5, "Cl2"), at("VAN-1"))}
	kit := furnished(needOf(bumpCL, 6).having(), bottle("3333-333B", clLot("2027-12-01")), tubing...).kitOf(t)
	contains(t, "tubing", kit.Missing, "no tubing for Cl2 is here; T-02 is at VAN-1")
}

func TestKitPrefersWhatIsNearAndKept(t *testing.T) {
	q4, cl := bottle("2222-222A", q4Lot("2027-09-01")), bottle("3333-333B", clLot("2027-12-01"))
	cl.place = "CAB-T"
	one := func(code string, change func(*piece)) *piece {
		return but(reg(code, "CGA C-10", 103, 0.3, "stainless"), change)
	}
	chlorine := func(code, place string, last ...string) *piece {
		return but(reg(code, "CGA C-10", 103, 1, "stainless", last...), at(place))
	}
	for name, c := range map[string]struct {
		of     cylinder
		pieces []*piece
		want   string
		why    string
	}{
		"where the person asks":               {q4, []*piece{one("A", at("CAGE")), one("B", at("CAB-T")), one("C", at("BENCH"))}, "C", "C, at BENCH"},
		"beside the cylinder":                 {q4, []*piece{one("A", at("CAB-T")), one("B", at("CAGE"))}, "B", "B, at CAGE"},
		"left on this very cylinder":          {q4, []*piece{one("A", at("BENCH")), one("B", leftOn("2222-222A", "CAGE"))}, "B", "B, left on it"},
		"rather free than on another":         {q4, []*piece{one("A", leftOn("7F3K-2", "BENCH")), one("B", at("CAB-T"))}, "B", "B, at CAB-T"},
		"on another where no other is":        {q4, []*piece{one("A", leftOn("7F3K-2", "BENCH"))}, "A", "A, left on 7F3K-2, at BENCH"},
		"nobody knows where, last":            {q4, []*piece{one("A", at("")), one("B", at("CAB-T"))}, "B", "B, at CAB-T"},
		"what says nothing against itself":    {q4, []*piece{one("A", func(p *piece) { p.set.Regulator.Body = "" }), one("B", at("CAB-T"))}, "B", "B, at CAB-T"},
		"kept for chlorine":                   {cl, []*piece{chlorine("A", "BENCH"), chlorine("B", "CAB-T", "Cl2")}, "B", "B, at CAB-T"},
		"near, for a gas that needs no other": {q4, []*piece{one("A", at("BENCH")), one("B", func(p *piece) { p.place, p.set.Regulator.LastGas = "CAGE", []string{"CO"} })}, "A", "A, at BENCH"},
		"by code, where nothing else tells":   {q4, []*piece{one("A", at("BENCH")), one("B", at("BENCH"))}, "A", "A, at BENCH"},
	} {
		n := bumps(2).having()
		if c.of.lot.BlendID == cl.lot.BlendID {
			n = needOf(bumpCL, 6).having()
		}
		kit := furnished(n, c.of, c.pieces...).kitOf(t)
		if got := codesOf(kit); got != c.want+" - -" || kit.Why != c.why {
			t.Errorf("%s: %s because %s, want %s because %s", name, got, kit.Why, c.want, c.why)
		}
	}
}

func TestKitKeepsWhatIsNamed(t *testing.T) {
	c := bottle("2222-222A", q4Lot("2027-09-01"))
	n := bumps(2).having().withSet(kitSet{}.with(reg("R-09", "CGA C-10", 103, 0.3, "stainless")))
	f := furnished(n, c, reg("R-01", "CGA C-10", 103, 0.3, "stainless"), tube("T-01", "FEP", 0.6))
	if kit := f.kitOf(t); codesOf(kit) != "R-09 T-01 -" || kit.Why != "FEP, at BENCH" {
		t.Errorf("%s because %s", codesOf(kit), kit.Why)
	}
}

// anyPiece draws a piece in any state.
func anyPiece(t *rapid.T, i int) *piece {
	gases := rapid.SampledFrom([][]string{nil, {"Cl2"}, {"NH3"}, {"CO"}, {"CH4", "O2", "CO", "H2S"}}).Draw(t, "last gas")
	var p *piece
	switch code := fmt.Sprint("P", i); rapid.SampledFrom(pieceKinds).Draw(t, "kind") {
	case ofRegulator:
		inlet, body := rapid.SampledFrom([]string{"CGA C-10", "CGA C-10", "CGA 600"}).Draw(t, "inlet"), rapid.SampledFrom([]string{"stainless", "brass", ""}).Draw(t, "body")
		p = reg(code, inlet, rapid.SampledFrom([]float64{34, 69, 103}).Draw(t, "bar"), rapid.SampledFrom([]float64{0, 0.3, 0.5, 1}).Draw(t, "flow"), body, gases...)
		p.set.Regulator.Vented = rapid.Bool().Draw(t, "vented")
		p.row.MinimumInlet = unit.PressureBar(rapid.Float64Range(0, 40).Draw(t, "minimum inlet"))
	case ofTubing:
		p = tube(code, rapid.SampledFrom([]string{"PTFE", "FEP", "PVC", "hose"}).Draw(t, "material"), rapid.Float64Range(0.1, 4).Draw(t, "length"), gases...)
	default:
		p = capFor(code, rapid.SampledFrom([][]string{nil, {"DIFF-4"}, {"DIFF-1"}, {"DIFF-1", "DIFF-4"}}).Draw(t, "models")...)
	}
	u := p.upkeep()
	u.OutOfService, u.DueOn = rapid.IntRange(0, 5).Draw(t, "service") == 0, rapid.SampledFrom([]unit.Date{"", "", "2027-03-02"}).Draw(t, "due")
	where := rapid.SampledFrom([]func(*piece){at("BENCH"), at("CAB-T"), at("VAN-1"), at(""), outWith("B", "7F3K-2"), leftOn("C00", "CAGE"), leftOn("7F3K-2", "BENCH")}).Draw(t, "where")
	return but(p, where)
}

func TestWhatTheKitNamesCanBeTakenAlong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, list := anyShelf(t)
		on := rapid.SampledFrom([][]fit.Instruments{nil, {diffusion("DIFF-4")}, {pumped(300)}, {diffusion("DIFF-1"), diffusion("DIFF-4")}}).Draw(t, "instruments")
		v, n := shelfOf(), n.having(on...)
		f := v.judged(n, list...)
		for i := range rapid.IntRange(0, 9).Draw(t, "pieces") {
			f.kits.pieces = append(f.kits.pieces, anyPiece(t, i))
		}
		f.kits.places = map[string]string{"VAN-1": "van"}
		for _, i := range f.fit {
			c := f.candidates[i]
			kit, with := f.kit(c)
			d := v.decide(*c.cylinder, with)
			known := slices.Concat(c.findings, f.fitted(c, fit.Set{}))
			for _, found := range d.findings {
				if found.Severity != problem.Note && !slices.ContainsFunc(known, func(k problem.Finding) bool { return k.Rule == found.Rule && k.Severity == found.Severity }) {
					t.Fatalf("%s with %s: %s", c.Tag, codesOf(kit), say(d.findings))
				}
			}
			for _, p := range f.kits.pieces {
				if code := *kit.of(p.kind); code != nil && *code == p.code && (p.with != "" || p.place == "VAN-1") {
					t.Fatalf("%s is named and is %s", p.code, p.where(v))
				}
				if *kit.of(p.kind) == nil && kit.Missing == "" && p.kind != ofCap {
					t.Fatalf("there is no %s and no word why", p.kind)
				}
			}
		}
	})
}
