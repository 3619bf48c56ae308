package demo

import (
	"context"
	"fmt"

	"spanroom/internal/auth"
)

// Password opens the demo for each of its people.
const Password = "harrowmere water"

// The people go by what they do.
const (
	clerk       = "clerk"
	technicianA = "technician A"
	technicianB = "technician B"
	purchaser   = "purchaser"
	supervisor  = "supervisor"
	auditor     = "auditor"
)

var people = []struct {
	name string
	role auth.Role
}{
	{clerk, auth.Clerk}, {technicianA, auth.Technician}, {technicianB, auth.Technician},
	{purchaser, auth.Purchaser}, {supervisor, auth.Supervisor}, {auditor, auth.Viewer},
}

// hire adds the people, and remembers who may act.
func (h *house) hire(ctx context.Context) error {
	room := auth.Room{Store: h.store, Now: h.clock.now}
	h.people = map[string]auth.Person{}
	for _, p := range people {
		if err := room.AddUser(ctx, p.name, p.role, Password); err != nil {
			return fmt.Errorf("person %s: %w", p.name, err)
		}
		row, err := h.store.PersonByName(ctx, p.name)
		if err != nil {
			return err
		}
		h.people[p.name] = auth.Person{ID: row.ID, Name: row.Name, Role: p.role}
	}
	return nil
}
