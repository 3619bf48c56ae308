package stock

import (
	"context"

	"spanroom/internal/gas"
	"spanroom/internal/store"
	"spanroom/models"
)

// present is a cylinder as it is now. While it is out, what was logged has gone from it: its pressure follows from its last
// trusted one and the gas drawn since (R14).
type present struct {
	cylinder                    // at the pressure that follows
	read      cylinder          // at the last trusted pressure
	drawn     float64           // litres since then
	purged    bool              // the gas before the first test has gone already
	regulator *models.Regulator // with which it is out, or nil
}

// presently looks at the tests that were logged on a cylinder that is out.
func presently(ctx context.Context, s *store.Store, v *view, c cylinder) (present, error) {
	if c.CheckoutID == nil {
		return present{cylinder: c, read: c}, nil
	}
	row, err := s.CheckoutRowByID(ctx, *c.CheckoutID)
	if err != nil {
		return present{}, err
	}
	o, err := outingOf(ctx, s, v, c, row)
	return o.present(), err
}

func (o outing) present() present {
	from, since := o.lastRead(nil)
	p := present{cylinder: from, read: from, drawn: since.litres(), purged: len(o.logged) > 0, regulator: o.need.along.regulator}
	if p.drawn > 0 && p.PressureSource != Unknown {
		p.Pressure = o.v.pressureAfter(from, p.drawn)
	}
	return p
}

// lastReading is the pressure now: a calculation where gas was drawn since somebody read it.
func (p present) lastReading() LastReading {
	l := p.cylinder.lastReading()
	if p.drawn > 0 && p.PressureSource != Unknown {
		l.PressureSource = Computed
	}
	return l
}

// left is what can be drawn for a purpose now.
func (p present) left(v *view, purpose Purpose) contents {
	now := v.contents(p.read, purpose, need{along: kitSet{regulator: p.regulator}}.minimumInlet())
	now.Usable = drawn(now.Usable, p.drawn)
	return now
}

// testsLeft counts the tests of a procedure; where pressure does not tell what is in the cylinder there is no count.
func (p present) testsLeft(v *view, procedure models.Procedure) (TestsLeft, bool) {
	n := need{purpose: Purpose(procedure.Purpose), along: kitSet{regulator: p.regulator}}
	now := p.left(v, n.purpose)
	if now.err != nil {
		return TestsLeft{}, false
	}
	if !p.purged {
		now.Usable = without(now.Usable, n.purgeOf(procedure))
	}
	return v.testsIn(now.Usable, procedure, n), true
}

// drawn takes gas away that has gone; what is left is never less than nothing.
func drawn(u gas.Usable, litres float64) gas.Usable {
	u = without(u, litres)
	u.Litres = max(0, u.Litres)
	return u
}
