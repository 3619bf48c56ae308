package stock

import (
	"context"
	"slices"

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/models"
)

// sealReleased makes the cylinders sealed that waited for a hold of goods in which has just been released, and for no other.
func sealReleased(ctx context.Context, tx *store.Store, m moment, act auth.Act, h models.Hold) error {
	if !h.Receiving {
		return nil
	}
	rows, err := tx.HeldOnArrival(ctx, h.OnKind, h.OnID)
	if err != nil {
		return err
	}
	_, waiting, err := look(ctx, tx, m, rows)
	if err != nil {
		return err
	}
	for _, c := range waiting {
		if slices.ContainsFunc(c.holds, func(other models.Hold) bool { return other.Receiving && other.ID != h.ID }) {
			continue
		}
		sealed := c.Cylinder
		sealed.Stage = Sealed
		change := store.Change{Before: c.Cylinder, After: sealed, From: c.position(), To: c.position()}
		if _, err := tx.PutCylinder(ctx, change, m.entry(act, "seal", "released: "+h.Reason)); err != nil {
			return err
		}
	}
	return nil
}
