package demo

import (
	"context"
	"fmt"
	"slices"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// house is Harrowmere's store while it lives through its year.
type house struct {
	store      *store.Store
	clock      *clock
	people     map[string]auth.Person
	procedures map[string]catalogue.Procedure
	inside     map[unit.Tag]inside
	inUse      map[string]unit.Tag // the cylinder that was taken last, by item
	usual      map[string]choice   // how a session went out the last time, by its hour and item
	acts       int
	suspect    unit.Tag // of a leak
	throws     int      // of luck
	tests      int      // that were logged at a return
}

func newHouse(s *store.Store, now time.Time) (*house, error) {
	c, err := newClock(now)
	return &house{
		store: s, clock: c, procedures: map[string]catalogue.Procedure{},
		inside: map[unit.Tag]inside{}, inUse: map[string]unit.Tag{}, usual: map[string]choice{},
	}, err
}

func (h *house) books() catalogue.Room { return catalogue.Room{Store: h.store, Now: h.clock.now} }
func (h *house) stock() stock.Room     { return stock.Room{Store: h.store, Now: h.clock.now} }

// as is an act of somebody, each in a request of its own.
func (h *house) as(name string) auth.Act {
	h.acts++
	return auth.Act{By: h.people[name], Request: fmt.Sprintf("demo-%d", h.acts)}
}

// furnish makes the setting: people, policy, and the catalogue in the order in which its things name one another.
func (h *house) furnish(ctx context.Context) error {
	if err := h.clock.set(firstDay, "08:00"); err != nil {
		return err
	}
	if err := h.hire(ctx); err != nil {
		return err
	}
	if err := h.books().Start(ctx, h.as(supervisor)); err != nil {
		return err
	}
	if err := h.policy(ctx); err != nil {
		return err
	}
	for _, limit := range caps() {
		if _, err := h.books().Change(ctx, h.as(supervisor), limit.Code, limit); err != nil {
			return fmt.Errorf("component %s: %w", limit.Code, err)
		}
	}
	return h.catalogue(ctx, places(), suppliers(), blends(), items(), h.regulators(), tubings(), procedures(), detectors(), h.fittingCaps(), h.instruments(), rounds())
}

// catalogue makes things one after the other, and remembers what procedures take.
func (h *house) catalogue(ctx context.Context, parts ...[]catalogue.Order) error {
	for i, order := range slices.Concat(parts...) {
		if _, err := h.books().Make(ctx, h.as(supervisor), order); err != nil {
			return fmt.Errorf("thing %d, %T: %w", i+1, order, err)
		}
		if p, ok := order.(*catalogue.Procedure); ok {
			h.procedures[p.Code] = *p
		}
	}
	return nil
}

// amend writes a new version of a thing of the catalogue.
func amend[T catalogue.Order](ctx context.Context, h *house, by, path, code string, edit func(T)) error {
	noun, _ := catalogue.NounAt(path)
	order, err := h.books().Get(ctx, noun, code)
	if err != nil {
		return err
	}
	edit(order.(T))
	_, err = h.books().Change(ctx, h.as(by), code, order)
	return err
}
