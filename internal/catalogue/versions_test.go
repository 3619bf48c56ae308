package catalogue_test

import (
	"encoding/json"
	"strings"
	"sync"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

func emptyRoom(s *store.Store) catalogue.Room {
	return catalogue.Room{Store: s, Now: func() time.Time { return morning }}
}

func fieldsOf(t testing.TB, order any) map[string]any {
	t.Helper()
	var fields map[string]any
	if err := json.Unmarshal([]byte(asJSON(t, order)), &fields); err != nil {
		t.Fatal(err)
	}
	return fields
}

func TestOldVersionsStayReadable(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r, places := newRoom(t, s), nounAt(t, "places")
		two := changed(t, r, "BENCH", &catalogue.Place{Name: "Long bench", Kind: "bench", Version: 1})
		three := changed(t, r, "BENCH", &catalogue.Place{Code: "BENCH", Name: "Third bench", Kind: "bench"})
		if versionOf(t, two) != 2 || versionOf(t, three) != 3 {
			t.Fatalf("%s, %s", asJSON(t, two), asJSON(t, three))
		}
		for version, name := range map[int64]string{1: "Bench", 2: "Long bench", 3: "Third bench"} {
			old, err := r.GetVersion(t.Context(), places, "BENCH", version)
			if err != nil {
				t.Fatal(err)
			}
			if p := old.(*catalogue.Place); p.Name != name || p.Version != version || p.Code != "BENCH" {
				t.Errorf("version %d is %+v", version, p)
			}
		}
		past, err := r.History(t.Context(), places, "BENCH")
		if err != nil || len(past) != 3 || past[0].Version != 3 || past[0].By != "Ada" || past[0].RecordedAt != "2027-03-03T08:00:00.000Z" {
			t.Errorf("%+v, %v", past, err)
		}
		row, err := s.PlaceByCode(t.Context(), "BENCH")
		if err != nil || row.Name != "Third bench" || row.Version != 3 {
			t.Errorf("the row is %+v, %v", row, err)
		}
	})
}

func TestEveryWriteIsInTheLedger(t *testing.T) {
	s := storetest.New(t)
	r := newRoom(t, s)
	changed(t, r, "BENCH", &catalogue.Place{Name: "Long bench", Kind: "bench"})
	entries, err := s.EntriesOf(t.Context(), "catalogue:place:BENCH", 10)
	if err != nil || len(entries) != 2 {
		t.Fatalf("%+v, %v", entries, err)
	}
	last, first := entries[0], entries[1]
	if first.Kind != "catalogue" || first.ByName != "Ada" || first.RequestID != "r1" || first.Before != "" {
		t.Errorf("making: %+v", first)
	}
	if last.Before != first.After || !strings.Contains(last.After, `"Long bench"`) || !strings.Contains(last.After, `"version":2`) {
		t.Errorf("changing: %+v", last)
	}
}

func TestChangesThatAreRefused(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		changed(t, r, "BENCH", &catalogue.Place{Name: "Long bench", Kind: "bench"})
		tests := []struct {
			name, code string
			order      catalogue.Order
			kind       problem.Kind
			says       string
		}{
			{"stale", "BENCH", &catalogue.Place{Version: 1, Kind: "bench"}, problem.Conflict, "at version 2 now"},
			{"of the future", "BENCH", &catalogue.Place{Version: 3, Kind: "bench"}, problem.Conflict, "at version 2 now"},
			{"another code", "BENCH", &catalogue.Place{Code: "BENCH2", Kind: "bench"}, problem.Invalid, "codes never change"},
			{"not there", "CAGE", &catalogue.Place{Kind: "cage"}, problem.Missing, `no place "CAGE"`},
			{"settings under another code", "other", &catalogue.Settings{}, problem.Invalid, "codes never change"},
		}
		for _, tt := range tests {
			_, err := r.Change(t.Context(), ada, tt.code, tt.order)
			if problem.KindOf(err) != tt.kind || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%s: %v", tt.name, err)
			}
		}
		if n := entriesOf(t.Context(), t, s, "catalogue:place:BENCH"); n != 2 {
			t.Errorf("%d entries, want those of the two writes that went through", n)
		}
	})
}

func TestReadingWhatIsNotThere(t *testing.T) {
	r, items := newRoom(t, storetest.New(t)), nounAt(t, "items")
	_, get := r.Get(t.Context(), items, "Q4")
	_, version := r.GetVersion(t.Context(), items, "Q4", 1)
	_, history := r.History(t.Context(), items, "Q4")
	for _, err := range []error{get, version, history} {
		if problem.KindOf(err) != problem.Missing || !strings.Contains(err.Error(), "Q4") {
			t.Errorf("%v", err)
		}
	}
	if _, ok := catalogue.NounAt("bottles"); ok {
		t.Error("there is a noun of bottles")
	}
}

// Codes are unique whatever their case, also for makers who come at the same moment.
func TestOneMakerOfACodeWins(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		codes := []string{"CAGE", "cage", "Cage", "CAGE", "cage", "CAGE"}
		errs := atOnce(len(codes), func(i int) error {
			_, err := r.Make(t.Context(), ada, &catalogue.Place{Code: codes[i], Kind: "cage"})
			return err
		})
		oneWon(t, errs)
		for _, err := range errs {
			if e := problem.KindOf(err); e == problem.Conflict && !strings.Contains(err.Error(), "already") {
				t.Errorf("%v", err)
			}
		}
	})
}

func TestOneChangeOfAVersionWins(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		orders := map[string]func() catalogue.Order{
			"BENCH": func() catalogue.Order { return &catalogue.Place{Version: 1, Kind: "bench"} },
			catalogue.Site: func() catalogue.Order {
				settings := catalogue.DefaultSettings()
				settings.Version = 1
				return &settings
			},
		}
		for code, order := range orders {
			oneWon(t, atOnce(4, func(int) error {
				_, err := r.Change(t.Context(), ada, code, order())
				return err
			}))
		}
	})
}

func atOnce(n int, do func(i int) error) []error {
	errs := make([]error, n)
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() { errs[i] = do(i) })
	}
	all.Wait()
	return errs
}

func oneWon(t *testing.T, errs []error) {
	t.Helper()
	won := 0
	for _, err := range errs {
		if err == nil {
			won++
		} else if problem.KindOf(err) != problem.Conflict {
			t.Errorf("a loser hears %v", err)
		}
	}
	if won != 1 {
		t.Errorf("%d of %d won: %v", won, len(errs), errs)
	}
}

func TestTheSameRequestMakesOnce(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r, people := newRoom(t, s), auth.Room{Store: s, Now: func() time.Time { return morning }}
		if err := people.AddUser(t.Context(), "Ada", auth.Supervisor, "correct horse battery"); err != nil {
			t.Fatal(err)
		}
		row, err := s.PersonByName(t.Context(), "Ada")
		if err != nil {
			t.Fatal(err)
		}
		act := auth.Act{By: auth.Person{ID: row.ID, Name: "Ada"}, Key: "k", Hash: "h"}
		var answers []string
		for range 2 {
			answer, err := r.Make(t.Context(), act, &catalogue.Place{Code: "CAGE", Kind: "cage"})
			if err != nil {
				t.Fatal(err)
			}
			answers = append(answers, asJSON(t, answer))
		}
		if answers[0] != answers[1] || entriesOf(t.Context(), t, s, "catalogue:place:CAGE") != 1 {
			t.Errorf("%v", answers)
		}
	})
}

func TestListGoesThroughAllByCode(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r, places := newRoom(t, s), nounAt(t, "places")
		for _, code := range []string{"D", "B", "C", "A"} {
			made(t, r, &catalogue.Place{Code: code, Kind: "shelf"})
		}
		changed(t, r, "C", &catalogue.Place{Kind: "shelf", Name: "changed"})
		var codes []string
		for after, more := "", true; more; {
			rows, next, err := r.List(t.Context(), places, after, 2)
			if err != nil || len(rows) > 2 {
				t.Fatalf("%d rows, %v", len(rows), err)
			}
			for _, row := range rows {
				codes = append(codes, row.(*catalogue.Place).Code)
			}
			after, more = next, next != ""
		}
		if got := strings.Join(codes, " "); got != "A B BENCH C D" {
			t.Errorf("%s", got)
		}
		choices, err := r.Choices(t.Context(), places)
		if err != nil || len(choices) != 5 || choices[3] != (catalogue.Choice{Code: "C", Name: "changed"}) {
			t.Errorf("%+v, %v", choices, err)
		}
	})
}
