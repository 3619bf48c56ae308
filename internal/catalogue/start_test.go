package catalogue_test

import (
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

func TestStartMakesTheCommonComponents(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := emptyRoom(s)
		if err := r.Start(t.Context(), ada); err != nil {
			t.Fatal(err)
		}
		for formula, limit := range shelf.Proposed() {
			c, err := s.ComponentByCode(t.Context(), formula)
			if err != nil {
				t.Error(err)
				continue
			}
			if c.Name == formula && formula != "air" || c.Formula != formula || *c.CapMonths != int64(*limit.CapMonths) || *c.FallbackMonths != int64(*limit.FallbackMonths) || c.OpenedDays != nil {
				t.Errorf("%+v", c)
			}
		}
		for formula, adsorbs := range map[string]bool{"H2S": true, "Cl2": true, "CO": false, "CH4": false} {
			if c, err := s.ComponentByCode(t.Context(), formula); err != nil || c.Adsorbs != adsorbs {
				t.Errorf("%+v, %v", c, err)
			}
		}
	})
}

func TestBeginningEndsWithTheFirstItem(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := emptyRoom(s)
		made(t, r, &catalogue.Supplier{Code: "northbank"})
		sizes, begun, err := r.Beginning(t.Context())
		if err != nil || begun || sizes["supplier"] != 1 || sizes["item"] != 0 || len(sizes) != len(catalogue.Nouns()) {
			t.Errorf("%v, begun %v, %v", sizes, begun, err)
		}
		made(t, r, &catalogue.Item{Code: "FILTER", Kind: "filter"})
		if sizes, begun, err := r.Beginning(t.Context()); err != nil || !begun || sizes != nil {
			t.Errorf("with an item: %v, begun %v, %v", sizes, begun, err)
		}
	})
}

// What a gas is known to do holds unless the site says otherwise.
func TestTheSiteSaysWhatAdsorbs(t *testing.T) {
	s := storetest.New(t)
	r, no := newRoom(t, s), false
	for _, tt := range []struct {
		order   *catalogue.Component
		adsorbs bool
	}{
		{&catalogue.Component{Name: "chlorine"}, true},
		{&catalogue.Component{Name: "chlorine", Adsorbs: &no}, false},
	} {
		changed(t, r, "Cl2", tt.order)
		if c, err := s.ComponentByCode(t.Context(), "Cl2"); err != nil || c.Adsorbs != tt.adsorbs {
			t.Errorf("%+v, %v, want %v", c, err, tt.adsorbs)
		}
	}
}

// A second start leaves alone what the site has changed in between.
func TestStartAgainChangesNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		eight := int64(8)
		changed(t, r, "Cl2", &catalogue.Component{Name: "chlorine", CapMonths: &eight})
		settings := blankSettings(t, r)
		settings.GraceDays = 20
		changed(t, r, catalogue.Site, settings)
		before, err := s.Head(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Start(t.Context(), ada); err != nil {
			t.Fatal(err)
		}
		if after, err := s.Head(t.Context()); err != nil || after != before {
			t.Errorf("the ledger went from %+v to %+v, %v", before, after, err)
		}
	})
}
