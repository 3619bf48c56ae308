package stock

import (
	"context"
	"slices"
	"strings"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// Kit is the regulator set to take along: null is a part that has to be chosen by hand, and Missing says what is missing and
// where one is.
type Kit struct {
	Regulator *string   `json:"regulator"`
	Tubing    *string   `json:"tubing"`
	Cap       *string   `json:"cap"`
	Why       string    `json:"why"`
	Missing   string    `json:"missing"`
	Parts     []KitPart `json:"parts"` // those that are named, with what decides whether they suit
}

func (k *Kit) of(kind string) **string {
	return map[string]**string{ofRegulator: &k.Regulator, ofTubing: &k.Tubing, ofCap: &k.Cap}[kind]
}

// kits are the regulators, tubings and caps of the site, with what is known of how they suit the cylinders.
type kits struct {
	pieces []*piece
	places map[string]string // the kind of each place
	suits  map[kitKey][]suit
}

func loadKits(ctx context.Context, s *store.Store) (k kits, err error) {
	if k.pieces, err = loadPieces(ctx, s, pieceKinds...); err != nil || len(k.pieces) == 0 {
		return k, err
	}
	if k.places, err = s.PlaceKinds(ctx); err != nil {
		return k, err
	}
	return k, loadRegulatorHolds(ctx, s, k.pieces)
}

// kit chooses what goes along with a cylinder: regulator, tubing and cap that are here and fit, and with which it may be taken as
// well as without. What the order names already stays. It gives the need with them.
func (f *field) kit(c candidate) (Kit, need) {
	kit, n := Kit{}, f.need
	var why, missing, manual []string
	for _, kind := range pieceKinds {
		if named := n.along.code(kind); named != "" {
			*kit.of(kind) = &named
			continue
		}
		switch best := f.choose(c, n, kind); {
		case best != nil:
			*kit.of(kind), n = &best.code, n.withSet(n.along.with(best))
			why = append(why, best.what+f.fetched(c, best))
		case f.byManual(kind):
			manual = append(manual, kind)
		case kind != ofCap || n.diffuses():
			missing = append(missing, f.lacks(c, n, kind))
		}
	}
	if len(manual) > 0 {
		missing = append(missing, strings.Join(manual, " and ")+" as the instrument maker's manual says")
	}
	kit.Why, kit.Missing = strings.Join(why, "; "), strings.Join(missing, "; ")
	return kit, n
}

// choose gives the best piece of a kind that is here and fits, or nil.
func (f *field) choose(c candidate, n need, kind string) *piece {
	if kind == ofCap && len(n.on) == 0 { // made for models, and none is named
		return nil
	}
	here := only(f.suiting(c, kind), func(s suit) bool {
		return s.worst() == problem.Note && f.there(c, s.piece) && (kind != ofCap || len(s.set.Cap.Models) > 0 || n.diffuses())
	})
	slices.SortStableFunc(here, func(a, b suit) int { return f.prefer(c, a, b) })
	for _, s := range here {
		if kind != ofRegulator || len(f.worse(c, n, s.piece)) == 0 {
			return s.piece
		}
	}
	return nil
}

// byManual tells whether nothing can be said of a kind but what the manual does: none is in the catalogue, or no model is known.
func (f *field) byManual(kind string) bool {
	if kind == ofRegulator {
		return false
	}
	none := !slices.ContainsFunc(f.kits.pieces, func(p *piece) bool { return p.kind == kind })
	if kind == ofCap {
		return len(f.on) == 0 || none && f.diffuses()
	}
	return none
}

// diffuses tells whether some of the instruments have no pump, so that gas comes to their sensors through a cap.
func (n need) diffuses() bool {
	return slices.ContainsFunc(n.on, func(m fit.Instruments) bool { return m.Sampling != fit.Pumped })
}
