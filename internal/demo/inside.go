package demo

import (
	"math"

	"spanroom/internal/stock"
)

// inside is what only the author of the demo knows of a cylinder that is used: the pressure that is really in it, and how it
// goes with the gas that is drawn.
type inside struct{ bar, barPerL, cutoff float64 }

// fill makes up what is really in a cylinder that is taken for the first time: what was read, or about the fill where nobody
// has opened it.
func (h *house) fill(pick stock.Pick) {
	if _, known := h.inside[pick.Tag]; known {
		return
	}
	bar := *pick.PressureBar
	if pick.PressureSource == stock.Fill {
		bar += h.luck(0.6)
	}
	h.inside[pick.Tag] = inside{bar, (*pick.PressureBar - pick.Cutoff.Bar) / *pick.UsableL, pick.Cutoff.Bar}
}

// draw lets gas out, and tells whether so many litres are left.
func (x inside) draw(litres, least float64) (inside, bool) {
	x.bar -= x.barPerL * litres
	return x, x.bar >= x.cutoff+x.barPerL*least
}

// litres is the gas that a session takes by its procedures: each test, and one purge.
func (h *house) litres(s session) float64 {
	tests, purge := 0.0, 0.0
	for _, l := range s.lines {
		p := h.procedures[l.procedure]
		tests, purge = tests+p.TestL*float64(len(l.instruments)), max(purge, p.SessionL)
	}
	return tests + purge
}

// luck gives a figure up to a size either way, the same in every run.
func (h *house) luck(size float64) float64 {
	h.throws++
	return size * math.Sin(float64(h.throws)*2.399)
}
