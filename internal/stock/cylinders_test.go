package stock

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func (h *harrowmere) list(q CylindersQuestion) CylindersAnswer {
	h.t.Helper()
	answer, err := h.Cylinders(h.ctx(), q)
	if err != nil {
		h.t.Fatal(err)
	}
	return answer
}

func tagsOf(a CylindersAnswer) []string {
	var tags []string
	for _, row := range a.Rows {
		tags = append(tags, string(row.Tag))
	}
	return tags
}

// expiring receives so many cylinders of a lot that expires on a day.
func (h *harrowmere) expiring(lot string, counted int64, day string) []string {
	o := q4(lot, counted)
	o.LabelExpiresOn, o.Certificate.ExpiresOn = unit.Date(day), unit.Date(day)
	return h.receive(o)
}

func TestCylindersFirstToExpireFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		late, soon := h.expiring("L-2", 2, "2027-11-01"), h.expiring("L-1", 2, "2027-09-01")
		want := slices.Concat(soon, late)
		if got := tagsOf(h.list(CylindersQuestion{})); !slices.Equal(got, want) {
			t.Errorf("by use-by %v, want %v", got, want)
		}
		if got := tagsOf(h.list(CylindersQuestion{Sort: ByArrival})); !slices.Equal(got, slices.Concat(late, soon)) {
			t.Errorf("by arrival %v", got)
		}
		for _, sort := range []string{ByUseBy, ByArrival} {
			whole := tagsOf(h.list(CylindersQuestion{Sort: sort}))
			var parts []string
			for next, n := "", 0; n == 0 || next != ""; n++ {
				a := h.list(CylindersQuestion{Sort: sort, After: next, Limit: 1})
				parts, next = append(parts, tagsOf(a)...), a.Next
			}
			if !slices.Equal(parts, whole) {
				t.Errorf("%s: one by one %v, at once %v", sort, parts, whole)
			}
		}
	})
}

// Too many to be read for their order come as they arrived, and the answer says so.
func TestTooManyToSort(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		defer func(most int) { mostSorted = most }(mostSorted)
		mostSorted = 3
		h := settle(t, s)
		late, soon := h.expiring("L-2", 2, "2027-11-01"), h.expiring("L-1", 1, "2027-09-01")
		if a := h.list(CylindersQuestion{}); a.Sort != ByUseBy || !slices.Equal(tagsOf(a), slices.Concat(soon, late)) {
			t.Errorf("three: %s %v", a.Sort, tagsOf(a))
		}
		more := h.expiring("L-1", 1, "2027-09-01")
		if a := h.list(CylindersQuestion{Text: "L-"}); a.Sort != ByArrival || len(a.Rows) != 4 {
			t.Errorf("a search for four: %s %v", a.Sort, tagsOf(a))
		}
		if a := h.list(CylindersQuestion{}); a.Sort != ByArrival || !slices.Equal(tagsOf(a), slices.Concat(late, soon, more)) {
			t.Errorf("four: %s %v", a.Sort, tagsOf(a))
		}
	})
}

// The row that a part ended with may leave the list before the next part is asked for.
func TestNextPartFollowsARowThatHasLeft(t *testing.T) {
	h := settle(t, storetest.New(t))
	tags := h.expiring("L-1", 3, "2027-09-01")
	first := h.list(CylindersQuestion{Place: "CAGE", Limit: 2})
	if _, err := h.Move(t.Context(), h.act("clerk"), MoveOrder{Tag: first.Next, Place: "VAN-1"}); err != nil {
		t.Fatal(err)
	}
	rest := tagsOf(h.list(CylindersQuestion{Place: "CAGE", After: first.Next, Limit: 2}))
	if !slices.Equal(rest, tags[2:]) {
		t.Errorf("after %s come %v, want %v", first.Next, rest, tags[2:])
	}
}

func TestCylindersAreNarrowed(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tags := h.receive(q4("7K-2206", 4))
		ferrow := q4("7K-2206", 1)
		ferrow.Supplier, ferrow.Serials = "ferrow", []string{"559123"}
		other := h.receive(ferrow)[0]
		h.give(tags[0], "A")
		h.alter(tags[1], func(c *models.Cylinder) { c.Stage, c.PlaceID = Gone, nil })
		h.alter(tags[2], func(c *models.Cylinder) { c.Stage = Opened })
		for name, c := range map[string]struct {
			q    CylindersQuestion
			want []string
		}{
			"all but gone":      {CylindersQuestion{}, []string{tags[0], tags[2], tags[3], other}},
			"gone":              {CylindersQuestion{Stage: Gone}, []string{tags[1]}},
			"all":               {CylindersQuestion{Stage: "all"}, append(slices.Clone(tags), other)},
			"opened":            {CylindersQuestion{Stage: Opened}, []string{tags[2]}},
			"a holder":          {CylindersQuestion{Holder: "A"}, []string{tags[0]}},
			"a place":           {CylindersQuestion{Place: "CAGE", Item: "Q4"}, []string{tags[2], tags[3], other}},
			"an item":           {CylindersQuestion{Item: "CL"}, nil},
			"lot text":          {CylindersQuestion{Text: "7k-22"}, []string{tags[0], tags[2], tags[3], other}},
			"part of a tag":     {CylindersQuestion{Text: strings.ToLower(strings.ReplaceAll(tags[3], "-", ""))[:6]}, []string{tags[3]}},
			"serial":            {CylindersQuestion{Text: "559"}, []string{other}},
			"wildcard is plain": {CylindersQuestion{Text: "%"}, nil},
		} {
			got := tagsOf(h.list(c.q))
			slices.Sort(got)
			slices.Sort(c.want)
			if !slices.Equal(got, c.want) {
				t.Errorf("%s: %v, want %v", name, got, c.want)
			}
		}
	})
}

func TestRowTellsWhatKeepsACylinder(t *testing.T) {
	h := settle(t, storetest.New(t))
	order := q4("7K-2206", 1)
	order.Certificate = nil
	h.receive(order)
	row := h.list(CylindersQuestion{}).Rows[0]
	if fmt.Sprint(row.Holds) != "[Certificate missing]" || row.Stage != Received || row.UsableL == nil || row.SupplierName != "Northbank Gases" {
		t.Errorf("%+v", row)
	}
}

func TestUnknownNamesListTheKnownOnes(t *testing.T) {
	h := settle(t, storetest.New(t))
	for _, c := range []struct {
		q    CylindersQuestion
		part string
	}{
		{CylindersQuestion{Place: "ATTIC"}, "place: there is no place"},
		{CylindersQuestion{Item: "Q5"}, "item: there is no item"},
		{CylindersQuestion{Stage: "boxed"}, "stage: there is no stage"},
		{CylindersQuestion{Holder: "Nobody"}, "holder: nobody is called"},
		{CylindersQuestion{Sort: "colour"}, "sort: "},
	} {
		_, err := h.Cylinders(t.Context(), c.q)
		h.wants(err, problem.Invalid, c.part)
	}
	_, err := h.Cylinders(t.Context(), CylindersQuestion{Place: "ATTIC"})
	if p := err.(*problem.Error); p.Fields[0].Advice != "choose one of CAB-T, CAGE, SHELF-A, VAN-1" {
		t.Errorf("advice %q", p.Fields[0].Advice)
	}
	_, err = h.Cylinders(t.Context(), CylindersQuestion{After: "2222-222A"})
	h.wants(err, problem.Missing, "2222-222A")
}
