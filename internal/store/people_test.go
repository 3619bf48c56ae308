package store_test

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// A session that is found is not cleared away, and one that is cleared away was not found.
func TestEndedSessionsAreThoseNotFound(t *testing.T) {
	tests := []struct {
		name           string
		seen, expires  unit.Instant
		now, idleSince unit.Instant
		good           bool
	}{
		{"fresh", 100, 200, 150, 50, true},
		{"last moment", 51, 151, 150, 50, true},
		{"idle", 50, 200, 150, 50, false},
		{"at its end", 100, 150, 150, 50, false},
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ada := addPerson(t, s, "Ada")
		for _, tt := range tests {
			write(t, s, func(tx *store.Store) error {
				return tx.AddSession(t.Context(), models.Session{TokenHash: tt.name, PersonID: ada.ID, CreatedAt: 1, SeenAt: tt.seen, ExpiresAt: tt.expires})
			})
			find := func(now, idleSince unit.Instant) bool {
				p, seen, err := s.SessionPerson(t.Context(), tt.name, now, idleSince)
				if err == nil && (p.ID != ada.ID || p.PasswordHash != "" || seen != tt.seen) {
					t.Errorf("%s: found %+v seen at %d", tt.name, p, seen)
				}
				if err != nil && problem.KindOf(err) != problem.SignedOut {
					t.Fatal(err)
				}
				return err == nil
			}
			if find(tt.now, tt.idleSince) != tt.good {
				t.Errorf("%s: found %v", tt.name, !tt.good)
			}
			write(t, s, func(tx *store.Store) error { return tx.DropEndedSessions(t.Context(), tt.now, tt.idleSince) })
			if find(0, 0) != tt.good {
				t.Errorf("%s: kept %v", tt.name, !tt.good)
			}
		}
	})
}

func TestPeopleHaveOneNameEach(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		ada := addPerson(t, s, "Ada")
		got, err := s.PersonByName(t.Context(), "Ada")
		if err != nil || got != ada {
			t.Errorf("found %+v, %v, want %+v", got, err, ada)
		}
		if _, err := s.PersonByName(t.Context(), "ada"); problem.KindOf(err) != problem.Missing {
			t.Errorf("another spelling: %v", err)
		}
		err = s.Tx(t.Context(), func(tx *store.Store) error {
			return tx.AddPerson(t.Context(), &models.Person{Name: "Ada", Role: "viewer"})
		})
		if problem.KindOf(err) != problem.Conflict {
			t.Errorf("the same name again: %v", err)
		}
	})
}

func addPerson(t *testing.T, s *store.Store, name string) models.Person {
	t.Helper()
	p := models.Person{Name: name, Role: "clerk", PasswordHash: "$", CreatedAt: 1}
	write(t, s, func(tx *store.Store) error { return tx.AddPerson(t.Context(), &p) })
	return p
}

func write(t *testing.T, s *store.Store, fn func(tx *store.Store) error) {
	t.Helper()
	if err := s.Tx(t.Context(), fn); err != nil {
		t.Fatal(err)
	}
}
