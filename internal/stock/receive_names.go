package stock

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// receivedNames are the things of the catalogue that a delivery names, and what is wrong with the naming.
type receivedNames struct {
	supplier   models.Supplier
	item       models.Item
	place      models.Place
	parts      []store.BlendComponent // of the item's blend, the balance last
	components map[string]store.Named // every component by its folded code
	wrong      problem.Fields
}

func findReceived(ctx context.Context, tx *store.Store, o ReceiveOrder) (receivedNames, error) {
	var n receivedNames
	var err error
	if n.supplier, err = receivedThing(ctx, tx, &n.wrong, "supplier", o.Supplier, tx.SupplierByCode); err != nil {
		return n, err
	}
	if n.item, err = receivedThing(ctx, tx, &n.wrong, "item", o.Item, tx.ItemByCode); err != nil {
		return n, err
	}
	if n.place, err = receivedThing(ctx, tx, &n.wrong, "place", o.Place, tx.PlaceByCode); err != nil {
		return n, err
	}
	if n.item.Kind != "" && n.item.Kind != catalogue.Gas {
		return n, nil
	}
	return n, n.findGas(ctx, tx)
}

// findGas finds what the certificate of the item's gas may name.
func (n *receivedNames) findGas(ctx context.Context, tx *store.Store) error {
	if n.item.BlendID != nil {
		var err error
		if n.parts, err = tx.BlendWhole(ctx, *n.item.BlendID); err != nil {
			return err
		}
	}
	all, err := tx.CatalogueNames(ctx, "component")
	n.components = make(map[string]store.Named, len(all))
	for _, c := range all {
		n.components[unit.Fold(c.Code)] = c
	}
	return err
}

// receivedThing gives the thing behind a code. That there is no such thing is a wrong field, and not a failure.
func receivedThing[R any](ctx context.Context, tx *store.Store, wrong *problem.Fields, noun, code string, by func(context.Context, string) (R, error)) (R, error) {
	var none R
	code = strings.TrimSpace(code)
	if code == "" {
		wrong.Add(noun, "the "+noun+" is not given", "choose one from the list")
		return none, nil
	}
	row, err := by(ctx, code)
	if problem.KindOf(err) != problem.Missing {
		return row, err
	}
	like, err := tx.CatalogueLike(ctx, noun, code)
	advice := "check the spelling, or make it in the catalogue first"
	if like != "" {
		advice = fmt.Sprintf("did you mean %q?", like)
	}
	wrong.Add(noun, fmt.Sprintf("there is no %s %q", noun, clip(code)), advice)
	return none, err
}

// clip shortens what somebody typed for a message.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
