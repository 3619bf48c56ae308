package stock

import (
	"slices"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func TestEveryLabelHasItsNumber(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tags := h.receive(q4("7K-2206", 2))
		for i, fault := range []string{"washed out", " torn "} {
			a, err := h.PrintLabel(h.ctx(), h.act("clerk"), LabelOrder{Tag: tags[0], Fault: fault})
			if want := (LabelAnswer{unit.Tag(tags[0]), 1, int64(i + 2)}); err != nil || a != want {
				t.Errorf("%+v %v, want %+v", a, err, want)
			}
		}
		if a, err := h.LabelOf(h.ctx(), unit.Tag(tags[0])); err != nil || a.Print != 3 {
			t.Errorf("%+v, %v", a, err)
		}
		prints, err := h.Labels(h.ctx(), unit.Tag(tags[0]), unit.Tag(tags[1]))
		if err != nil || prints[unit.Tag(tags[0])] != 3 || prints[unit.Tag(tags[1])] != 1 {
			t.Errorf("%v, %v", prints, err)
		}
		if line := h.one(tags[0]).Ledger[0]; line.Text != "label printed again, the older one is void" || line.Reason != "print 3: torn" || line.Who != "clerk" {
			t.Errorf("%+v", line)
		}
		h.verify()

		_, err = h.PrintLabel(h.ctx(), h.act("clerk"), LabelOrder{Tag: tags[1]})
		h.wants(err, problem.Invalid, "fault: ")
		_, err = h.PrintLabel(h.ctx(), h.act("clerk"), LabelOrder{Tag: "2222-222A", Fault: "torn"})
		h.wants(err, problem.Missing, "2222-222A")
		h.alter(tags[1], func(c *models.Cylinder) { c.Stage, c.PlaceID = Gone, nil })
		_, err = h.PrintLabel(h.ctx(), h.act("clerk"), LabelOrder{Tag: tags[1], Fault: "torn"})
		h.wants(err, problem.Conflict, "is gone")
	})
}

func TestCylindersByWhoHadThemLast(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tags := h.receive(q4("7K-2206", 3))
		for _, out := range []struct {
			tag, who string
			back     bool
		}{{tags[0], "A", true}, {tags[0], "B", true}, {tags[1], "A", false}} {
			a, err := h.CheckOut(h.ctx(), h.act(out.who), CheckOutOrder{TakeOrder: TakeOrder{Item: "Q4", Tests: []TestOrder{{"bump-q4", 2}}}, Cylinder: out.tag, Reasons: map[string]string{"R16": "in the hand"}})
			if err != nil {
				t.Fatal(err)
			}
			if !out.back {
				continue
			}
			if _, err := h.Return(h.ctx(), h.act(out.who), ReturnOrder{Checkout: a.ID, Place: "CAGE", Pressure: "66 bar", Gauge: "digital", Reasons: map[string]string{"R32": "repeats"}}); err != nil {
				t.Fatal(err)
			}
		}
		for who, want := range map[string][]string{"A": {tags[1]}, "B": {tags[0]}, "clerk": nil} {
			if got := tagsOf(h.list(CylindersQuestion{Item: "Q4", LastHolder: who})); !slices.Equal(got, want) {
				t.Errorf("%s had %v last, want %v", who, got, want)
			}
		}
		_, err := h.Cylinders(h.ctx(), CylindersQuestion{LastHolder: "Nobody"})
		h.wants(err, problem.Invalid, "last_holder: nobody is called")
	})
}
