package stock

import (
	"testing"

	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// The page of a cylinder that is out tells what the page of its check-out tells.
func TestACylinderThatIsOutIsToldAsItIsNow(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		h.open(tag, 40)
		full := h.one(tag)
		out := h.take("A", tag, 14)
		if c := h.one(tag); *c.PressureBar != 40 || c.PressureSource != Measured || *c.UsableL != *full.UsableL {
			t.Errorf("nothing is logged: %g bar, %s, %g L", *c.PressureBar, c.PressureSource, *c.UsableL)
		}
		h.log("A", out.ID, 10)
		c := h.one(tag)
		p, err := h.Checkout(h.ctx(), h.people["A"], out.ID)
		h.must(err)
		if *c.UsableL != *p.Progress.LeftL || *c.UsableLowL != *p.Progress.LeftLowL || *c.PressureBar != *p.Progress.ExpectedBar {
			t.Errorf("%g L (at least %g), %g bar; the check-out says %+v", *c.UsableL, *c.UsableLowL, *c.PressureBar, p.Progress)
		}
		within(t, "litres left", *c.UsableL, *full.UsableL-1.8, 0.001) // ten bumps and one purge
		if c.PressureSource != Computed || c.Version != out.Version || c.Stage != Opened {
			t.Errorf("%s, version %d, %s", c.PressureSource, c.Version, c.Stage)
		}
		for _, left := range c.TestsLeft {
			if left.Procedure == "bump-q4" && left != p.Progress.TestsLeft[0] {
				t.Errorf("%+v, and the check-out says %+v", left, p.Progress.TestsLeft[0])
			}
		}
		h.alter(tag, func(c *models.Cylinder) { // somebody reads it outside: that counts from then on
			c.Pressure, c.PressureSource, c.MeasuredAt = unit.PressureBar(30), Measured, unit.InstantOf(h.now.Add(1))+1
		})
		if c := h.one(tag); *c.PressureBar != 30 || c.PressureSource != Measured {
			t.Errorf("it was read since: %g bar, %s", *c.PressureBar, c.PressureSource)
		}
	})
}

func TestWhoseNobodyKnewThePressureStaysUnknown(t *testing.T) {
	c := bottle("2222-222A", q4Lot("2027-05-14"))
	o := outing{cylinder: c, v: shelfOf(), procedures: map[int64]models.Procedure{1: bumpQ4}}
	o.row.OutSource = Unknown
	o.logged = []store.TestRow{{Test: models.Test{ProcedureID: 1, Used: 150}}}
	p := o.present()
	if last := p.lastReading(); last.PressureBar != nil || last.PressureSource != Unknown {
		t.Errorf("%+v", last)
	}
	if now := p.left(o.v, Bump); now.err == nil {
		t.Errorf("%g L are left", now.Litres)
	}
	if left, known := p.testsLeft(o.v, bumpQ4); known {
		t.Errorf("%+v", left)
	}
}
