package stock

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// withSets is the setting with two regulator sets for four-gas and one for ammonia, and gas for each.
func withSets(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := onRounds(t, s)
	twice := int64(2)
	h.make(
		&catalogue.Blend{Code: "NH", Balance: "N2", Components: []catalogue.BlendPart{{Component: "NH3", Amount: "50 ppm"}}},
		&catalogue.Item{Code: "NH", Kind: catalogue.Gas, Blend: "NH", WaterVolume: "1.7 L", FillPressure: "69 bar", Outlet: "C-10"},
		&catalogue.Procedure{Code: "bump-nh", Purpose: "bump", Blend: "NH", Flow: "0.3 L/min", Duration: "1 min"},
		&catalogue.Regulator{Code: "R-03", Name: "spare", Inlet: "C-10", MaxPressure: "1000 psi", Mode: "fixed", Flow: "0.3 L/min", Body: "stainless", Place: "BENCH", DueAfterUses: &twice},
		&catalogue.Tubing{Code: "T-01", Material: "FEP", Length: "60 cm", Place: "BENCH"},
		&catalogue.Cap{Code: "C-01", Place: "CAGE", CheckDueOn: "2027-03-03"},
		&catalogue.Tubing{Code: "T-02", Material: "PTFE", Length: "50 cm", LastGas: "Cl2", Place: "CAB-T"},
	)
	h.now = h.now.Add(time.Minute)
	return h
}

// along takes a cylinder with R-03, T-01 and C-01.
func (h *harrowmere) along(name, tag string) CheckOutAnswer {
	h.t.Helper()
	o := CheckOutOrder{TakeOrder: TakeOrder{Purpose: Bump}, Cylinder: tag, Regulator: "R-03", Tubing: "T-01", Cap: "C-01", Reasons: map[string]string{"R16": "in my hand", "R25": "it can wait"}}
	a, err := h.CheckOut(h.ctx(), h.act(name), o)
	if err != nil {
		h.t.Fatal(err)
	}
	return a
}

// equipment tells of a piece by its code.
func (h *harrowmere) equipment(code string) EquipmentRow {
	h.t.Helper()
	page, err := h.Equipment(h.ctx(), EquipmentQuestion{Text: code})
	if err != nil || len(page.Rows) != 1 {
		h.t.Fatalf("%+v %v", page, err)
	}
	return page.Rows[0]
}

func byRule(rule string) func(problem.Finding) bool {
	return func(f problem.Finding) bool { return f.Rule == rule }
}

// findingsOf gives what a refusal rests on.
func findingsOf(err error) []problem.Finding {
	var p *problem.Error
	errors.As(err, &p)
	return p.Findings
}

// stands fails the test unless a piece is where it should be: "state, place, person, cylinder".
func (h *harrowmere) stands(code, want string) {
	h.t.Helper()
	r := h.equipment(code)
	if got := fmt.Sprintf("%s, %s, %s, %s", r.State, r.Place, r.With, r.Cylinder); got != want {
		h.t.Errorf("%s: %s, want %s", code, got, want)
	}
}

func TestASetMovesWithTheCylinder(t *testing.T) { // R53
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withSets(t, s)
		tag := h.receive(q4("7K-2206", 2))[0]
		h.stands("R-03", "here, BENCH, , ")
		h.stands("C-01", "due, CAGE, , ")

		out := h.along("A", tag)
		for _, code := range []string{"R-03", "T-01", "C-01"} {
			h.stands(code, "out, , A, "+tag)
		}
		if since := h.equipment("R-03").Since; since != unit.InstantOf(h.now).String() {
			t.Errorf("since %s", since)
		}
		h.now = h.now.Add(time.Hour)
		h.back("A", ReturnOrder{Checkout: out.ID, Place: "SHELF-A"})
		h.stands("R-03", "here, SHELF-A, , ")
		h.stands("C-01", "due, SHELF-A, , ")

		out = h.along("B", tag)
		back := h.back("B", ReturnOrder{Checkout: out.ID, Place: "CAGE", SetLeftOn: true})
		if read, err := h.Checkout(h.ctx(), h.people["B"], out.ID); err != nil || !back.SetLeftOn || !read.SetLeftOn || read.ReturnedTo != "CAGE" || read.Cap != "C-01" {
			t.Errorf("%+v, read %+v %v", back, read, err)
		}
		h.stands("T-01", "left on, CAGE, , "+tag)
		h.carries(tag, "R-03 T-01 C-01")
		if _, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tag, Place: "VAN-1"}); err != nil {
			t.Fatal(err)
		}
		h.stands("T-01", "left on, VAN-1, , "+tag)
		last := h.take("A", tag, 1) // with R-01; nobody says what became of the other set
		h.stands("T-01", "out, , A, "+tag)
		h.back("A", ReturnOrder{Checkout: last.ID, Place: "CAGE"})

		h.now = h.now.Add(time.Hour)
		h.change("tubing", "T-01", func(o catalogue.Order) { o.(*catalogue.Tubing).Place = "CAB-T" })
		h.stands("T-01", "here, CAB-T, , ")
		h.stands("C-01", "left on, CAGE, , "+tag)
		h.carries(tag, "R-03 C-01")
		h.verify()
	})
}

// carries demands what its cylinder's answer says was left on it.
func (h *harrowmere) carries(tag, want string) {
	h.t.Helper()
	a, err := h.Cylinder(h.ctx(), tag, CylinderQuestion{})
	if got := strings.Join(a.LeftOn, " "); err != nil || got != want {
		h.t.Errorf("left on %s: %q, want %q, %v", tag, got, want, err)
	}
}

func TestAReturnWithoutASetLeavesNoneOn(t *testing.T) {
	h := withSets(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	a, err := h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag})
	if err != nil {
		t.Fatal(err)
	}
	if back := h.back("A", ReturnOrder{Checkout: a.ID, SetLeftOn: true}); back.SetLeftOn {
		t.Error("no set went along, and one is left on")
	}
	h.carries(tag, "")
}

func TestWhoTakesWhatSomebodyElseHasIsTold(t *testing.T) { // R53
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withSets(t, s)
		tags := h.receive(q4("7K-2206", 3))
		first := h.along("A", tags[0])
		if len(only(first.Findings, byRule("R53"))) != 0 {
			t.Errorf("nobody has it: %s", say(first.Findings))
		}
		second := h.along("B", tags[1])
		found := only(second.Findings, byRule("R53"))
		if len(found) != 3 || found[0].Subject != "R-03" || found[2].Subject != "C-01" {
			t.Errorf("%s", say(second.Findings))
		}
		contains(t, "the note", say(found), "R53 note it went out on "+tags[0]+" with A since 08:01 → check that you hold the right one")

		h.stands("R-03", "out, , B, "+tags[1]) // whoever took it last
		h.back("A", ReturnOrder{Checkout: first.ID})
		h.stands("R-03", "out, , B, "+tags[1])
		h.back("B", ReturnOrder{Checkout: second.ID, SetLeftOn: true})
		onIt := h.along("A", tags[1])
		if len(only(onIt.Findings, byRule("R53"))) != 0 {
			t.Errorf("it is on this very cylinder: %s", say(onIt.Findings))
		}
		h.back("A", ReturnOrder{Checkout: onIt.ID, SetLeftOn: true})
		contains(t, "taken off", say(h.along("A", tags[2]).Findings), "R53 note it was left on "+tags[1]+", at CAGE")
	})
}

func TestWhatWentThroughLastIsKnownFromTheCheckOuts(t *testing.T) { // S39, S90
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withSets(t, s)
		ammonia := q4("9N-1", 1)
		ammonia.Item, ammonia.Certificate.Number, ammonia.Certificate.Values = "NH", "C-9", []ValueOrder{{"NH3", "50 ppm", "2 ppm"}}
		nh, fourGas := h.receive(ammonia)[0], h.receive(q4("7K-2206", 1))[0]
		gases := func(code, want string) {
			t.Helper()
			if got := strings.Join(h.equipment(code).LastGas, " "); got != want {
				t.Errorf("%s was last used on %q, want %q", code, got, want)
			}
		}
		gases("R-03", "")
		gases("T-02", "Cl2")
		h.back("A", ReturnOrder{Checkout: h.along("A", nh).ID})
		gases("R-03", "NH3")
		for _, order := range []CheckOutOrder{{Regulator: "R-03"}, {Tubing: "T-01"}, {Tubing: "T-02"}} {
			order.TakeOrder, order.Cylinder, order.Reasons = forBumps(1), fourGas, map[string]string{"R24": "rinsed", "R25": "it can wait"}
			_, err := h.CheckOut(h.ctx(), h.act("A"), order)
			h.wants(err, problem.Refused, "fits, but was last used on ")
		}
		if kit := h.recommend(forBumps(1)).Pick.Kit; *kit.Regulator != "R-01" || kit.Tubing != nil || !strings.Contains(kit.Missing, "T-01: fits, but was last used on NH3") {
			t.Errorf("%+v", kit)
		}
		if r := h.equipment("R-03"); r.Uses != 1 || *r.DueAfterUses != 2 {
			t.Errorf("%+v", r)
		}

		h.now = h.now.Add(time.Hour)
		h.change("regulator", "R-03", func(o catalogue.Order) { o.(*catalogue.Regulator).Note = "it has a new label" })
		gases("R-03", "NH3")
		if r := h.equipment("R-03"); r.Uses != 1 {
			t.Errorf("an edited note leaves it used %d times", r.Uses)
		}
		h.change("regulator", "R-03", func(o catalogue.Order) { o.(*catalogue.Regulator).Serviced = true })
		h.change("tubing", "T-01", func(o catalogue.Order) { o.(*catalogue.Tubing).LastGas = "H2S" })
		h.change("cap", "C-01", func(o catalogue.Order) { o.(*catalogue.Cap).Serviced = true })
		gases("R-03", "")
		gases("T-01", "H2S")
		for _, code := range []string{"R-03", "T-01", "C-01"} {
			if r := h.equipment(code); r.Uses != 0 {
				t.Errorf("%s used %d times since", code, r.Uses)
			}
		}
		h.back("A", ReturnOrder{Checkout: h.along("A", fourGas).ID})
		gases("R-03", "CH4 O2 CO H2S")
		h.back("A", ReturnOrder{Checkout: h.along("A", fourGas).ID})
		h.stands("R-03", "due, CAGE, , ")
	})
}

func TestTheBalanceCountsWhereThereIsNothingElse(t *testing.T) {
	air, h2s := store.BlendComponent{Code: "air", Formula: "air", Balance: true}, store.BlendComponent{Code: "sulfide"}
	if got := fmt.Sprint(formulasOf([]store.BlendComponent{air}), formulasOf([]store.BlendComponent{h2s, air}), formulasOf(nil)); got != "[air] [sulfide] []" {
		t.Error(got)
	}
}

func TestEquipmentIsNarrowedAndPaged(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withSets(t, s)
		codes := func(q EquipmentQuestion) string {
			t.Helper()
			var all []string
			for {
				page, err := h.Equipment(h.ctx(), q)
				if err != nil {
					t.Fatal(err)
				}
				for _, r := range page.Rows {
					all = append(all, r.Code)
				}
				if q.After = page.Next; q.After == "" {
					return strings.Join(all, " ")
				}
			}
		}
		for want, q := range map[string]EquipmentQuestion{
			"R-01 R-03 T-01 T-02 C-01": {},
			"R-01 R-03":                {Kind: "regulator"},
			"T-01 T-02":                {Kind: "tubing"},
			"T-02":                     {Text: "cl2"},
			"C-01":                     {Code: "C-01"},
			"R-03 T-01":                {Text: "bench"},
			"R-03":                     {Text: "SPARE"},
			"":                         {Kind: "cap", Text: "bench"},
		} {
			if got := codes(q); got != want {
				t.Errorf("%+v lists %s, want %s", q, got, want)
			}
			if q.Limit = 1; codes(q) != want {
				t.Errorf("row by row %+v lists %s", q, codes(q))
			}
		}
		if _, err := h.Hold(h.ctx(), h.act("A"), HoldOrder{On: HoldOn{"regulator", "R-03"}, Reason: Damaged}); err != nil {
			t.Fatal(err)
		}
		h.change("tubing", "T-02", func(o catalogue.Order) { o.(*catalogue.Tubing).OutOfService = true })
		h.stands("R-03", "on hold, BENCH, , ")
		h.stands("T-02", "out of service, CAB-T, , ")
		if r := h.equipment("R-03"); len(r.Holds) != 1 || r.Holds[0].Reason != Damaged {
			t.Errorf("%+v", r.Holds)
		}
		_, err := h.Equipment(h.ctx(), EquipmentQuestion{Kind: "hose"})
		h.wants(err, problem.Invalid, `"hose" is no kind of equipment`)
	})
}

func TestACheckOutNamesWhatIsThere(t *testing.T) {
	h := withSets(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	_, err := h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag, Regulator: "R-99", Tubing: "t-01", Cap: "hat"})
	h.fields(err, "cap regulator tubing")
	contains(t, "the tubing", err.Error(), `there is no tubing "t-01"`)
}

func TestARegulatorOfAnotherOutletIsToldWhereOneIs(t *testing.T) { // S40
	h := withSets(t, storetest.New(t))
	h.make(&catalogue.Regulator{Code: "R-07", Inlet: "600", MaxPressure: "69 bar", Mode: "fixed", Flow: "0.3 L/min", Place: "CAB-T"})
	h.change("item", "Q4", func(o catalogue.Order) { o.(*catalogue.Item).Outlet = "600" })
	tag := h.receive(q4("7K-2206", 1))[0]
	_, err := h.CheckOut(h.ctx(), h.act("A"), CheckOutOrder{TakeOrder: forBumps(1), Cylinder: tag, Regulator: "R-03", Reasons: map[string]string{"R21": "it will do"}})
	h.wants(err, problem.Refused, "takes CGA C-10")
	contains(t, "where one is", say(findingsOf(err)), "R21 stop |R21 note R-07 takes CGA 600 and is at CAB-T")
}

func TestAnotherCheckOutOfAPartIsNoticed(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withSets(t, s)
		tags := h.receive(q4("7K-2206", 2))
		stamp := func(set store.SetCodes) store.Stamp {
			t.Helper()
			stamp, err := s.StampOf(h.ctx(), unit.Tag(tags[0]), set)
			if err != nil {
				t.Fatal(err)
			}
			return stamp
		}
		sets := []store.SetCodes{{}, {Regulator: "R-03"}, {Tubing: "T-01"}, {Cap: "C-01"}, {Regulator: "R-01", Tubing: "T-02"}}
		all := func() (stamps []store.Stamp) {
			for _, set := range sets {
				stamps = append(stamps, stamp(set))
			}
			return stamps
		}
		before := all()
		out := h.along("A", tags[1])
		between := all()
		h.back("A", ReturnOrder{Checkout: out.ID})
		for i, after := range all() {
			names := slices.Contains([]int{1, 2, 3}, i)
			if (before[i] != between[i]) != names || (between[i] != after) != names {
				t.Errorf("%+v: %v, %v, %v", sets[i], before[i], between[i], after)
			}
		}
	})
}
