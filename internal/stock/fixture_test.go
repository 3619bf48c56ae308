package stock

import (
	"context"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// harrowmere is the setting of the scenarios on a store of its own: Wednesday 3 March 2027, 08:00 in Amsterdam. Its clock
// stands still until a test moves it.
type harrowmere struct {
	Room
	t      *testing.T
	now    time.Time
	people map[string]auth.Person
}

// settle makes the setting: two suppliers, three places and a van, two blends with an item each, and a person of every role.
func settle(t *testing.T, s *store.Store) *harrowmere {
	t.Helper()
	h := &harrowmere{t: t, now: time.Date(2027, 3, 3, 7, 0, 0, 0, time.UTC), people: map[string]auth.Person{}}
	h.Room = Room{Store: s, Now: func() time.Time { return h.now }}
	for name, role := range map[string]auth.Role{
		"clerk": auth.Clerk, "A": auth.Technician, "B": auth.Technician, "purchaser": auth.Purchaser, "supervisor": auth.Supervisor, "viewer": auth.Viewer,
	} {
		h.person(name, role)
	}
	if err := h.catalogue().Start(t.Context(), h.act("supervisor")); err != nil {
		t.Fatal(err)
	}
	h.settings(func(s *catalogue.Settings) { s.Zone, s.EmergencyNumbers = "Europe/Amsterdam", "112" })
	h.make(things()...)
	cap8, days75 := int64(8), int64(75)
	h.change("component", "Cl2", func(o catalogue.Order) {
		c := o.(*catalogue.Component)
		c.CapMonths, c.OpenedDays = &cap8, &days75
	})
	return h
}

func things() []catalogue.Order {
	four := int64(4)
	return []catalogue.Order{
		&catalogue.Supplier{Code: "northbank", Name: "Northbank Gases", LeadTimeDays: 42},
		&catalogue.Supplier{Code: "ferrow", Name: "Ferrow Specialty", LeadTimeDays: 42},
		&catalogue.Place{Code: "CAGE", Kind: "cage"}, &catalogue.Place{Code: "SHELF-A", Kind: "shelf"},
		&catalogue.Place{Code: "CAB-T", Kind: "cabinet", MaxCylinders: &four}, &catalogue.Place{Code: "VAN-1", Kind: "van"},
		&catalogue.Blend{Code: "Q4", Name: "four-gas", Balance: "N2", Components: []catalogue.BlendPart{
			{Component: "CH4", Amount: "2.5 %vol"}, {Component: "O2", Amount: "18 %vol"}, {Component: "CO", Amount: "100 ppm"}, {Component: "H2S", Amount: "25 ppm"},
		}},
		&catalogue.Blend{Code: "CL", Name: "chlorine", Balance: "N2", Components: []catalogue.BlendPart{{Component: "Cl2", Amount: "10 ppm"}}},
		&catalogue.Item{Code: "Q4", Name: "four-gas", Kind: catalogue.Gas, Blend: "Q4", WaterVolume: "1.0 L", FillPressure: "69 bar", Outlet: "C-10", Cutoff: "2.0 bar"},
		&catalogue.Item{Code: "CL", Name: "chlorine", Kind: catalogue.Gas, Blend: "CL", WaterVolume: "1.7 L", FillPressure: "69 bar", Outlet: "C-10"},
		&catalogue.Procedure{Code: "bump-q4", Name: "bump test, four gas", Purpose: "bump", Blend: "Q4", Flow: "0.3 L/min", Duration: "30 s", Purge: "0.3 L"},
		&catalogue.Procedure{Code: "cal-q4", Name: "calibration, four gas", Purpose: "calibration", Blend: "Q4", Flow: "0.3 L/min", Duration: "2 min", Purge: "0.3 L"},
		&catalogue.Regulator{Code: "R-01", Inlet: "C-10", MaxPressure: "103 bar", Mode: "fixed", Flow: "0.3 L/min", Body: "stainless", Place: "CAGE"},
	}
}

func (h *harrowmere) ctx() context.Context { return h.t.Context() }

// act is what somebody does, by name.
func (h *harrowmere) act(name string) auth.Act { return auth.Act{By: h.people[name], Request: "test"} }

func (h *harrowmere) person(name string, role auth.Role) {
	h.t.Helper()
	p := models.Person{Name: name, Role: string(role), CreatedAt: 1}
	h.tx(func(tx *store.Store) error { return tx.AddPerson(h.ctx(), &p) })
	h.people[name] = auth.Person{ID: p.ID, Name: name, Role: role}
}

func (h *harrowmere) tx(fn func(tx *store.Store) error) {
	h.t.Helper()
	if err := h.Store.Tx(h.ctx(), fn); err != nil {
		h.t.Fatal(err)
	}
}

func (h *harrowmere) catalogue() catalogue.Room { return catalogue.Room{Store: h.Store, Now: h.Now} }

func (h *harrowmere) make(things ...catalogue.Order) {
	h.t.Helper()
	for _, thing := range things {
		if _, err := h.catalogue().Make(h.ctx(), h.act("supervisor"), thing); err != nil {
			h.t.Fatalf("%+v: %v", thing, err)
		}
	}
}

func (h *harrowmere) change(noun, code string, how func(catalogue.Order)) {
	h.t.Helper()
	for _, n := range append(catalogue.Nouns(), catalogue.SettingsNoun()) {
		if n.Name != noun {
			continue
		}
		thing, err := h.catalogue().Get(h.ctx(), n, code)
		if err != nil {
			h.t.Fatal(err)
		}
		how(thing)
		if _, err := h.catalogue().Change(h.ctx(), h.act("supervisor"), code, thing); err != nil {
			h.t.Fatal(err)
		}
	}
}

func (h *harrowmere) settings(how func(*catalogue.Settings)) {
	h.t.Helper()
	h.change("settings", catalogue.Site, func(o catalogue.Order) { how(o.(*catalogue.Settings)) })
}

// q4 is a delivery of four-gas as it should come.
func q4(lot string, counted int64) ReceiveOrder {
	return ReceiveOrder{
		Supplier: "northbank", Item: "Q4", Lot: lot, Counted: counted, FilledOn: "2026-10-01", LabelExpiresOn: "2027-10-01", Place: "CAGE",
		Certificate: &CertificateOrder{Number: "C-881", IssuedOn: "2026-10-05", ExpiresOn: "2027-10-01", Values: []ValueOrder{
			{"CH4", "2.52 %vol", "0.05 %vol"}, {"O2", "18.1 %vol", "0.2 %vol"}, {"CO", "99 ppm", "2 ppm"}, {"H2S", "24.6 ppm", "0.5 ppm"},
		}},
	}
}

// receive books a delivery and gives its tags; asks are answered.
func (h *harrowmere) receive(o ReceiveOrder) []string {
	h.t.Helper()
	o.Reasons = map[string]string{"R2": "compared", "R5a": "counted twice", "R7": "compared", "R42": "only for today"}
	answer, err := h.Receive(h.ctx(), h.act("clerk"), o)
	if err != nil {
		h.t.Fatal(err)
	}
	var tags []string
	for _, c := range answer.Cylinders {
		tags = append(tags, string(c.Tag))
	}
	return tags
}

// alter changes a cylinder past the use cases, for a state that is not under test.
func (h *harrowmere) alter(tag string, how func(c *models.Cylinder)) {
	h.t.Helper()
	h.tx(func(tx *store.Store) error {
		m, err := h.moment(h.ctx(), tx)
		if err != nil {
			return err
		}
		_, c, err := lookAt(h.ctx(), tx, m, unit.Tag(tag))
		if err != nil {
			return err
		}
		changed := c.Cylinder
		how(&changed)
		to := c.position()
		if changed.HolderID != nil {
			names, err := tx.PeopleNames(h.ctx(), []int64{*changed.HolderID})
			if err != nil {
				return err
			}
			to = store.Position("person:" + names[*changed.HolderID])
		}
		_, err = tx.PutCylinder(h.ctx(), store.Change{Before: c.Cylinder, After: changed, From: c.position(), To: to}, m.entry(h.act("clerk"), "test", ""))
		return err
	})
}

// give puts a cylinder into somebody's hands.
func (h *harrowmere) give(tag, name string) {
	h.t.Helper()
	id := h.people[name].ID
	h.alter(tag, func(c *models.Cylinder) { c.PlaceID, c.HolderID, c.HeldSince = nil, &id, unit.InstantOf(h.now) })
}

// one asks about a cylinder.
func (h *harrowmere) one(tag string) CylinderAnswer {
	h.t.Helper()
	answer, err := h.Cylinder(h.ctx(), tag, CylinderQuestion{})
	if err != nil {
		h.t.Fatal(err)
	}
	return answer
}

// verify fails the test where the ledger does not explain what is kept.
func (h *harrowmere) verify() {
	h.t.Helper()
	v, err := h.Store.Verify(h.ctx())
	if err != nil || !v.Sound() {
		h.t.Fatalf("the ledger does not hold: %+v %v", v, err)
	}
}

// wants fails the test unless an error is a problem of a kind whose words hold a part.
func (h *harrowmere) wants(err error, kind problem.Kind, part string) {
	h.t.Helper()
	if problem.KindOf(err) != kind {
		h.t.Fatalf("got %v, want a problem of kind %q", err, kind)
	}
	contains(h.t, string(kind), err.Error(), part)
}
