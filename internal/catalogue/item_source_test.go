package catalogue_test

import (
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// However the number of an article is printed, it is kept as symbols carry it, in the document and in the row.
func TestNumbersOfTradeAreKeptInTheirLongForm(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		made(t, r, &catalogue.Item{Code: "F", Kind: "filter"})
		for typed, want := range map[string]string{
			"95200002": "00000095200002", "952123454324": "00952123454324", "9521234543213": "09521234543213", "19521234543210": "19521234543210",
			" 9 521234 543213 ": "09521234543213", "952-1234543-21-3": "09521234543213", "": "", " ": "",
		} {
			answer := changed(t, r, "F", &catalogue.Item{Kind: "filter", Sources: []catalogue.Source{{Supplier: "northbank", GTIN: typed}}})
			item, err := s.ItemByCode(t.Context(), "F")
			if err != nil {
				t.Fatal(err)
			}
			rows, err := s.SourcesOf(t.Context(), item.ID)
			if err != nil || len(rows) != 1 || rows[0].GTIN != want || answer.(*catalogue.Item).Sources[0].GTIN != want {
				t.Errorf("%q: %+v, %v, want %q", typed, rows, err, want)
			}
		}
	})
}

func TestAdaptersAreKeptAsTheListHasThem(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	for _, ends := range [][2]string{{"600", "C10"}, {"cga c-10", "CGA 600"}} {
		got := made(t, r, &catalogue.Regulator{Code: "R-" + ends[1][len(ends[1])-2:], Inlet: ends[1], MaxPressure: "103 bar", Mode: catalogue.DemandFlow,
			Adapter: &catalogue.Adapter{From: ends[0], To: ends[1], MaxPressure: "1000 psi"}}).(*catalogue.Regulator)
		if a := got.Adapter; a.To != got.InletListed || a.From == a.To || a.From != "CGA 600" && a.From != "CGA C-10" {
			t.Errorf("%+v on %s", a, got.InletListed)
		}
	}
}
