package stock

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// MoveOrder puts a cylinder at another place.
type MoveOrder struct {
	Tag     string            `json:"-"`
	Place   string            `json:"place"`
	Version *int64            `json:"version,omitempty"`
	Reasons map[string]string `json:"reasons,omitempty"`
}

// MoveAnswer is where the cylinder is now.
type MoveAnswer struct {
	Tag      unit.Tag          `json:"tag"`
	Place    string            `json:"place"`
	Findings []problem.Finding `json:"findings"`
	Version  int64             `json:"version"`
}

// Move takes a cylinder from one place to another. What a person has is not moved but returned.
func (r Room) Move(ctx context.Context, act auth.Act, o MoveOrder) (MoveAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (MoveAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return MoveAnswer{}, err
		}
		v, c, err := lookUp(ctx, tx, m, o.Tag)
		if err != nil {
			return MoveAnswer{}, err
		}
		place, err := placeOf(ctx, tx, o.Place)
		if err != nil {
			return MoveAnswer{}, err
		}
		if err := v.mayMove(c, place, o.Version); err != nil {
			return MoveAnswer{}, err
		}
		findings, err := crowding(ctx, tx, place)
		if err != nil {
			return MoveAnswer{}, err
		}
		if err := problem.Refuse(findings, o.Reasons); err != nil {
			return MoveAnswer{}, err
		}
		moved := c.Cylinder
		moved.PlaceID = &place.ID
		change := store.Change{Before: c.Cylinder, After: moved, From: c.position(), To: store.Position(place.Code)}
		moved, err = tx.PutCylinder(ctx, change, m.entry(act, "move", inOneLine(o.Reasons)))
		return MoveAnswer{c.Tag, place.Code, append([]problem.Finding{}, findings...), moved.Version}, err
	})
}

// placeOf gives the place of an order.
func placeOf(ctx context.Context, tx *store.Store, code string) (models.Place, error) {
	var wrong problem.Fields
	if code == "" {
		wrong.Add("place", "the place is not given", "choose the place where it stands now")
		return models.Place{}, wrong.Err()
	}
	id, err := chosen(ctx, tx, &wrong, "place", code)
	if err == nil {
		err = wrong.Err()
	}
	if err != nil {
		return models.Place{}, err
	}
	places, err := tx.PlacesByID(ctx, []int64{id})
	return places[id], err
}

// crowding asks where one more cylinder is more than a place may hold (R42).
func crowding(ctx context.Context, tx *store.Store, at models.Place) ([]problem.Finding, error) {
	if at.MaxCylinders == nil {
		return nil, nil
	}
	stands, err := tx.CylindersAtPlaces(ctx)
	if err != nil {
		return nil, err
	}
	places, err := tx.Places(ctx)
	return placeLimit(at, 1, places, stands), err
}

// mayMove refuses what is not at a place, is there already, or was changed since it was read.
func (v *view) mayMove(c cylinder, to models.Place, version *int64) error {
	switch {
	case version != nil && *version != c.Version:
		return problem.Stale("cylinder", string(c.Tag), c.Version, *version)
	case c.HolderID != nil:
		return problem.New(problem.Conflict, fmt.Sprintf("%s is with %s since %s", c.Tag, c.holder, v.clock(c.HeldSince)), "bring it back to its new place instead")
	case c.PlaceID == nil:
		return problem.New(problem.Conflict, fmt.Sprintf("%s is gone", c.Tag), "look at the tag again")
	case *c.PlaceID == to.ID:
		return problem.New(problem.Conflict, fmt.Sprintf("%s is at %s already", c.Tag, to.Code), "there is nothing to do")
	}
	return nil
}

// inOneLine writes the reasons of an act for the ledger.
func inOneLine(reasons map[string]string) string {
	var parts []string
	for _, rule := range slices.Sorted(maps.Keys(reasons)) {
		if text := strings.TrimSpace(reasons[rule]); text != "" {
			parts = append(parts, rule+": "+text)
		}
	}
	return strings.Join(parts, "; ")
}
