package stock

import (
	"fmt"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// withConsumables books four filters and 25 m of tubing in the cage.
func withConsumables(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := onRounds(t, s)
	h.make(
		&catalogue.Item{Code: "FILTER-H", Name: "hydrophobic filter", Kind: "filter"},
		&catalogue.Item{Code: "FEP", Kind: "tubing", CountedIn: catalogue.InMetres}, &catalogue.Item{Code: "CAP-S", Kind: "cap"},
	)
	for _, o := range []ReceiveOrder{
		{Supplier: "northbank", Item: "FILTER-H", Counted: 4, Place: "CAGE"}, {Supplier: "northbank", Item: "FEP", Quantity: "25 m", Place: "CAGE"},
	} {
		if _, err := h.Receive(h.ctx(), h.act("clerk"), o); err != nil {
			t.Fatal(err)
		}
	}
	return h
}

func TestS23MoreThanTheBookHasIsFoundFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withConsumables(t, s)
		a, err := h.Issue(h.ctx(), h.act("B"), IssueOrder{Item: "FILTER-H", Counted: 6})
		if err != nil || a.Issued != 6 || a.Found != 2 || a.Balance != 0 || a.Place != "CAGE" || a.To != "B" || a.Unit != "each" {
			t.Fatalf("%+v %v", a, err)
		}
		contains(t, "findings", say(a.Findings), "R39 note B took 6 of FILTER-H at CAGE, and the book had 4")
		contains(t, "tasks", h.tasks("clerk"), "the book had 4: count what is there")
		if got := fmt.Sprint(h.entries("item:FILTER-H")[0:]); got != "[receive 4 each CAGE found 2 each CAGE issue beyond book issue -6 each CAGE]" {
			t.Errorf("ledger %s", got)
		}
		h.verify()
	})
}

func TestMetresAreHandedOutByLength(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := withConsumables(t, s)
		a, err := h.Issue(h.ctx(), h.act("A"), IssueOrder{Item: "FEP", Quantity: "60 cm", Place: "CAGE", To: "bench 2"})
		if err != nil || a.Issued != 0.6 || a.Found != 0 || a.Balance != 24.4 || a.Unit != "m" || a.To != "bench 2" || len(a.Findings) != 0 {
			t.Errorf("%+v %v", a, err)
		}
		page, err := h.Consumables(h.ctx(), "", 0)
		if err != nil || fmt.Sprint(page.Rows) != "[{CAP-S CAP-S cap  0 each} {FEP FEP tubing CAGE 24.4 m} {FILTER-H hydrophobic filter filter CAGE 4 each}]" || page.Next != "" {
			t.Errorf("%+v %v", page, err)
		}
		first, err := h.Consumables(h.ctx(), "", 2)
		if err != nil || len(first.Rows) != 2 || first.Next != "FEP CAGE" {
			t.Errorf("%+v %v", first, err)
		}
		if rest, err := h.Consumables(h.ctx(), first.Next, 2); err != nil || len(rest.Rows) != 1 || rest.Rows[0].Item != "FILTER-H" {
			t.Errorf("%+v %v", rest, err)
		}
		h.verify()
	})
}

func TestWhatIsWrongWithAnIssue(t *testing.T) {
	h := withConsumables(t, storetest.New(t))
	for want, o := range map[string]IssueOrder{
		"item place":             {},
		"item":                   {Item: "Q4", Counted: 1, Place: "CAGE"},
		"counted place":          {Item: "FILTER-H", Place: "ATTIC"},
		"counted quantity":       {Item: "FILTER-H", Quantity: "6 m", Place: "CAGE"},
		"quantity":               {Item: "FEP", Quantity: "6", Place: "CAGE"},
		"counted place quantity": {Item: "FEP", Counted: 6, Place: "ATTIC"},
		"place":                  {Item: "CAP-S", Counted: 1}, // it stands nowhere
	} {
		_, err := h.Issue(h.ctx(), h.act("A"), o)
		h.fields(err, want)
	}
}
