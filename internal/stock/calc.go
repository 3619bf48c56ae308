package stock

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// The calculators answer what somebody asks of a cylinder that need not be on any shelf, by the site's settings and its catalogue
// of today. Nothing of it is kept.

// calculating begins to read the question of a calculator.
func (r Room) calculating(ctx context.Context) (*needReader, error) {
	m, err := r.moment(ctx, r.Store)
	return &needReader{orderReader: orderReader{moment: m}, store: r.Store}, err
}

// namedGas is the gas that a question names: that of an item, which brings its size and its limits, or a blend of whatever size.
type namedGas struct {
	name  string
	item  models.Item            // blank where no item is named
	parts []store.BlendComponent // the balance last
}

// gas looks up the gas of an item or of a blend; without either there is none.
func (r *needReader) gas(ctx context.Context, itemCode, blendCode string) namedGas {
	item := found(ctx, r, "item", "item", itemCode, r.store.ItemByCode)
	blend := found(ctx, r, "blend", "blend", blendCode, r.store.BlendByCode)
	var g namedGas
	switch {
	case item != nil:
		r.ofItem(ctx, *item, blend)
		g.item, g.name = *item, item.Name
	case blend != nil:
		r.blend, g.name = *blend, blend.Name
	}
	if r.blend.ID != 0 {
		r.fail(func() (err error) { g.parts, err = r.store.BlendWhole(ctx, r.blend.ID); return err })
	}
	return g
}

// words lists what is in the gas as its label has it.
func (g namedGas) words() []string {
	words := make([]string, len(g.parts))
	for i, p := range g.parts {
		words[i] = p.Code + " " + inUnitOf(p.Amount, p.Amount)
		if p.Balance {
			words[i] = "balance " + p.Code
		}
	}
	return words
}

// needed is quantityOf for a quantity that nothing can be answered without.
func needed[K ~int64](r *needReader, field string, typed unit.Typed, parse func(string) (K, error), missing, advice string) K {
	if typed == "" {
		r.wrong.Add(field, missing, advice)
	}
	return quantityOf(&r.orderReader, field, typed, parse)
}

// choice checks one word of a closed list; "" stays.
func choice[W ~string](r *needReader, field string, word W, known []W) {
	if word == "" || slices.Contains(known, word) {
		return
	}
	words := make([]string, len(known))
	for i, w := range known {
		words[i] = string(w)
	}
	r.wrong.Add(field, fmt.Sprintf("%q is not known here", clip(string(word))), "choose one of: "+strings.Join(words, ", "))
}

// refusalOf says why there is no figure.
func refusalOf(err error) gas.Refusal {
	var e *problem.Error
	if errors.As(err, &e) {
		return gas.Refusal{Refused: true, Reason: e.Detail, Advice: e.Advice}
	}
	return gas.Refusal{Refused: err != nil}
}

// renamed gives wrong fields the names that they have in a form.
func renamed(err error, names map[string]string) error {
	var e *problem.Error
	if !errors.As(err, &e) {
		return err
	}
	var wrong problem.Fields
	for _, f := range e.Fields {
		name := f.Name
		if known, ok := names[name]; ok {
			name = known
		}
		wrong.Add(name, f.Text, f.Advice)
	}
	return wrong.Err()
}
