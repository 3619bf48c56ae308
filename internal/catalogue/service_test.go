package catalogue_test

import (
	"maps"
	"strings"
	"testing"
	"time"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// workshop changes one piece of equipment, an hour after the change before.
type workshop struct {
	*testing.T
	catalogue.Room
	noun catalogue.Noun
	now  time.Time
}

func newWorkshop(t *testing.T, s *store.Store, plural string) *workshop {
	w := &workshop{T: t, noun: nounAt(t, plural), now: morning}
	w.Room = catalogue.Room{Store: s, Now: func() time.Time { return w.now }}
	return w
}

// change sends the piece back with some fields changed, and gives the instant that it is answered with, which the row has too.
func (w *workshop) change(fields map[string]any) string {
	w.Helper()
	w.now = w.now.Add(time.Hour)
	was, err := w.Get(w.Context(), w.noun, "X")
	if err != nil {
		w.Fatal(err)
	}
	order := fieldsOf(w, was)
	maps.Copy(order, fields)
	is := fieldsOf(w, changed(w.T, w.Room, "X", orderOf(w, w.noun.Plural, asJSON(w, order))))
	if _, kept := is["serviced"]; kept {
		w.Errorf("the statement itself is kept: %v", is)
	}
	at, _ := is["serviced_at"].(string)
	row, err := w.Store.PieceByCode(w.Context(), w.noun.Name, "X")
	if err != nil || row.ServicedAt.String() != at {
		w.Errorf("the row has %q, the answer %q, %v", row.ServicedAt, at, err)
	}
	return at
}

// Check-outs count from when a piece was made, or stated to be serviced or to have another last gas; no other change moves that.
func TestOnlyAStatementForgetsCheckOuts(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		for plural, order := range map[string]string{
			"regulators": `{"code":"X","inlet":"C-10","max_pressure":"103 bar","mode":"demand","last_gas":"NH3"}`,
			"tubings":    `{"code":"X","material":"FEP","length":"60 cm","last_gas":"NH3"}`,
			"caps":       `{"code":"X","serviced":true}`,
		} {
			made(t, r, orderOf(t, plural, order))
			w, want := newWorkshop(t, s, plural), unit.InstantOf(morning).String()
			for _, step := range []struct {
				name   string
				fields map[string]any
				moves  bool
			}{
				{"as it is", nil, false},
				{"another note", map[string]any{"note": "a new label"}, false},
				{"an instant that somebody made up", map[string]any{"serviced_at": "2027-03-03T20:00:00.000Z"}, false},
				{"serviced", map[string]any{"serviced": true}, true},
				{"not serviced", map[string]any{"serviced": false, "place": "BENCH"}, false},
				{"another last gas", map[string]any{"last_gas": "Cl2"}, true},
				{"the same", map[string]any{"last_gas": " Cl2 "}, false},
				{"none, serviced", map[string]any{"last_gas": "", "serviced": true}, true},
			} {
				if _, states := step.fields["last_gas"]; states && plural == "caps" { // gas leaves nothing in them that counts
					continue
				}
				got := w.change(step.fields)
				if step.moves {
					want = unit.InstantOf(w.now).String()
				}
				if got != want {
					t.Errorf("%s, %s: %q, want %q", plural, step.name, got, want)
				}
			}
		}
	})
}

func TestALastGasIsNotForgottenByLeavingItOut(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	made(t, r, orderOf(t, "regulators", `{"code":"X","inlet":"C-10","max_pressure":"103 bar","mode":"demand","last_gas":"NH3"}`))
	_, err := r.Change(t.Context(), ada, "X", orderOf(t, "regulators", `{"code":"X","inlet":"C-10","max_pressure":"103 bar","mode":"demand","note":"polished"}`))
	if problem.KindOf(err) != problem.Invalid || !strings.Contains(err.Error(), "NH3 was its last gas and is left out") {
		t.Errorf("%v", err)
	}
}

// Of a piece from before such statements every check-out counts, until somebody makes one.
func TestAPieceFromBeforeStatements(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		newRoom(t, s)
		err := s.Tx(t.Context(), func(tx *store.Store) error {
			if _, err := tx.PutCatalogueRow(t.Context(), "tubing", "X", 0, &models.Tubing{Code: "X", Name: "X", Version: 1, Material: "FEP", Length: 600}); err != nil {
				return err
			}
			return tx.AddVersion(t.Context(), models.Version{Noun: "tubing", Code: "X", Version: 1, Doc: `{"code":"X","version":1,"material":"FEP","length":"60 cm","length_m":0.6}`, RecordedAt: 1})
		})
		if err != nil {
			t.Fatal(err)
		}
		w := newWorkshop(t, s, "tubings")
		if at := w.change(map[string]any{"note": "a new label"}); at != "" {
			t.Errorf("an edited note counts from %s", at)
		}
		if at := w.change(map[string]any{"serviced": true}); at != unit.InstantOf(w.now).String() {
			t.Errorf("serviced, it counts from %q", at)
		}
	})
}
