package stock

import (
	"strconv"
	"strings"

	"spanroom/internal/unit"
)

// inUnitOf writes an amount in the unit in which people speak of amounts like another one: ppm below 1 %vol, else %vol.
func inUnitOf(a, like unit.Amount) string {
	if like >= 10_000_000 {
		return strconv.FormatFloat(a.Fraction()*100, 'g', 6, 64) + " %vol"
	}
	return strconv.FormatFloat(a.PPM(), 'g', 6, 64) + " ppm"
}

// figureOf gives the number of a quantity as typed, without its unit.
func figureOf(typed string) string {
	typed = strings.TrimSpace(typed)
	end := strings.IndexFunc(typed, func(r rune) bool { return !strings.ContainsRune("+-0123456789.,", r) })
	if end < 0 {
		return typed
	}
	return typed[:end]
}

// thousands writes a whole number with its thousands parted, as in 10,000.
func thousands(x float64) string {
	digits := strconv.FormatFloat(x, 'f', 0, 64)
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + "," + digits[at:]
	}
	return digits
}

// barWords writes a pressure as the forms take it: 69 bar.
func barWords(p unit.Pressure) string { return strconv.FormatFloat(p.Bar(), 'g', 4, 64) + " bar" }

func lotSubject(id int64) string { return "lot:" + strconv.FormatInt(id, 10) }
