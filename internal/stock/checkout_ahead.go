package stock

import (
	"context"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// ahead is what was read before the transaction of a check-out, with the stamp that tells inside whether it still holds.
type ahead struct {
	outlook
	taking *taking // nil where the order could not be read; what is wrong comes again inside
	stamp  store.Stamp
}

// outlook is what stands beside the cylinder that somebody takes. It decides only whether a reason is asked for, and whom to tell.
type outlook struct {
	best *candidate        // the one that is recommended; nil where it does not matter
	last []problem.Finding // that it is the last sealed one
}

// beside is one cylinder for a number of them that have the same use-by.
type beside struct {
	cylinder
	number int64
}

func (r Room) readAhead(ctx context.Context, by auth.Person, o CheckOutOrder) (ahead, error) {
	var a ahead
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return a, err
	}
	if tag, err := unit.ParseTag(o.Cylinder); err == nil {
		if a.stamp, err = r.Store.StampOf(ctx, tag, o.set()); err != nil { // before the rest, so that it is never too new
			return a, err
		}
	}
	t, err := readTaking(ctx, r.Store, m, by, o)
	if kind := problem.KindOf(err); kind == problem.Invalid || kind == problem.Forbidden {
		return a, nil
	}
	if err != nil {
		return a, err
	}
	a.taking = &t
	a.outlook, err = t.lookAround(ctx, r.Store, m)
	return a, err
}

// readAgain gives what was read ahead where nothing has changed since, and else reads it inside the transaction.
func (r Room) readAgain(ctx context.Context, tx *store.Store, by auth.Person, o CheckOutOrder, prior ahead) (taking, error) {
	now := r.Now()
	if t := prior.taking; t != nil && unit.DateOf(now.In(t.v.settings.Location())) == t.v.today {
		stamp, err := tx.StampOf(ctx, t.Tag, o.set())
		if err != nil {
			return taking{}, err
		}
		if stamp == prior.stamp {
			t.v.at = unit.InstantOf(now)
			return *t, nil
		}
	}
	m, err := r.moment(ctx, tx)
	if err != nil {
		return taking{}, err
	}
	return readTaking(ctx, tx, m, by, o)
}

// set names what the order takes along.
func (o CheckOutOrder) set() store.SetCodes {
	return store.SetCodes{Regulator: strings.TrimSpace(o.Regulator), Tubing: strings.TrimSpace(o.Tubing), Cap: strings.TrimSpace(o.Cap)}
}

// look loads the cylinder, and in the same view one of each sort beside it.
func (t *taking) look(ctx context.Context, s *store.Store, m moment, tag unit.Tag) error {
	row, err := s.CylinderByTag(ctx, tag)
	if err != nil {
		return err
	}
	alike, err := s.AtHandAlike(ctx, []int64{row.ItemID})
	if err != nil {
		return err
	}
	rows := []models.Cylinder{row}
	for _, a := range alike {
		rows = append(rows, a.Cylinder)
	}
	v, list, err := look(ctx, s, m, rows)
	if err != nil {
		return err
	}
	t.v, t.cylinder = v, list[0]
	for i, a := range alike {
		t.beside = append(t.beside, beside{list[i+1], a.Number})
	}
	return nil
}

// lookAround judges what else could be taken, unless a glance shows that none of it expires sooner and more are left.
func (t taking) lookAround(ctx context.Context, s *store.Store, m moment) (outlook, error) {
	if t.alone() {
		return outlook{}, nil
	}
	f, err := survey(ctx, s, m, t.wanted)
	if err != nil {
		return outlook{}, err
	}
	if f.lastSealed(t.cylinder) {
		if f.sources, err = sellers(ctx, s, []int64{t.ItemID}); err != nil {
			return outlook{}, err
		}
	}
	return outlook{best: f.best(), last: f.last(t.cylinder)}, nil
}

// alone tells whether the other cylinders of the item do not matter: the cylinder is of the only item that was asked for, it
// is not the last sealed one, and nothing at hand expires sooner, whether or not it might be taken.
func (t taking) alone() bool {
	if len(t.products) != 1 || t.products[0].ID != t.ItemID {
		return false
	}
	mine, sealed := t.v.useBy(t.cylinder, t.from), int64(0)
	for _, b := range t.beside {
		if other := t.v.useBy(b.cylinder, t.from); !other.Undated && other.ExpiresOn < mine.ExpiresOn {
			return false
		}
		if b.Stage == Sealed {
			sealed += b.number
		}
	}
	return t.Stage != Sealed || sealed > 1 // itself is one of them
}
