package stock

import (
	"testing"

	"spanroom/internal/store"
)

func TestLeadTimesThatNobodyEntered(t *testing.T) {
	source := func(days int64) store.SourceOf {
		return store.SourceOf{SupplierName: "Northbank Gases", LeadDays: days}
	}
	for _, c := range []struct {
		sources []store.SourceOf
		days    int64
		slow    bool
	}{
		{nil, -1, false},
		{[]store.SourceOf{source(0)}, -1, false},
		{[]store.SourceOf{source(0), source(42)}, 42, true},
		{[]store.SourceOf{source(42), source(14)}, 14, false},
	} {
		if days, slow := slowReplenishment(c.sources, 14); days != c.days || slow != c.slow {
			t.Errorf("%+v: %d days, slow %v", c.sources, days, slow)
		}
	}
	for days, want := range map[int64]string{42: "order Q4 from Northbank Gases, 42 days", 0: "order Q4 from Northbank Gases"} {
		if got := orderFrom("Q4", source(days)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
