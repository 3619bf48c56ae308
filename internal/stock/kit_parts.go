package stock

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/fit"
)

// KitPart tells of one part of a regulator set what decides whether it suits: that it fits says little.
type KitPart struct {
	Kind     string   `json:"kind"`
	Code     string   `json:"code"`
	What     string   `json:"what"`     // "CGA C-10, 103 bar, 0.3 L/min"
	Material string   `json:"material"` // of a regulator's body, "" where nobody knows; What tells that of tubing
	LastGas  []string `json:"last_gas"` // formulas of what went through it last; none where nobody knows
	Where    string   `json:"where"`
}

// parts tells of each part of a kit.
func (f *field) parts(kit Kit) []KitPart {
	parts := []KitPart{}
	for _, kind := range pieceKinds {
		code := *kit.of(kind)
		if code == nil {
			continue
		}
		at := slices.IndexFunc(f.kits.pieces, func(p *piece) bool { return p.kind == kind && p.code == *code })
		if at < 0 {
			continue
		}
		p := f.kits.pieces[at]
		part := KitPart{Kind: kind, Code: p.code, What: p.what, LastGas: append([]string{}, *p.gases()...), Where: p.where(f.view)}
		if r := p.set.Regulator; r != nil {
			part.Material = r.Body
		}
		parts = append(parts, part)
	}
	return parts
}

// keptFor names the gases for which a set has to be kept, where nothing else may go through it.
func (c cylinder) keptFor() []string {
	if !c.gas().Dedicated() {
		return []string{}
	}
	return formulasOf(c.lot.parts)
}

// toCertified says what the instruments are set to where they take over the certified values of a cylinder (R17).
func (v *view) toCertified(c cylinder, n need) []string { return v.entries(c, n, "%s on %s") }

// entries says by a form of words which value goes into which instruments.
func (v *view) entries(c cylinder, n need, form string) []string {
	words := []string{}
	if !n.purpose.compares() {
		return words
	}
	for _, e := range fit.Entries(c.gas(), n.on, v.policy) {
		words = append(words, fmt.Sprintf(form, strings.TrimSpace(cmp.Or(e.Name, e.Component)+" "+e.Set.Words()), briefly(e.Serials)))
	}
	return words
}

// briefly names the first few of many.
func briefly(names []string) string {
	const most = 3
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
