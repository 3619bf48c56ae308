package views

import (
	"math"
	"time"
	"unicode/utf8"
)

// What the pictures with axes have in common.

// pictureWord is a word in a picture with where it stands.
type pictureWord struct {
	X, Y   float64
	Text   string
	Anchor string // start, middle or end
}

// axisStep is the distance of two marks on an axis up to a figure, for so many marks at the most: 1, 2 or 5 times a power of ten.
func axisStep(most, marks float64) float64 {
	if !(most > 0) {
		return 1
	}
	rough := most / marks
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, step := range []float64{1, 2, 5} {
		if rough <= step*power*(1+1e-9) {
			return step * power
		}
	}
	return 10 * power
}

// axisDigits is with how many decimals the marks of a step are written.
func axisDigits(step float64) int { return int(max(0, -math.Floor(math.Log10(step)))) }

// daysBetween counts the days from one date to another; 0 where one of them is none.
func daysBetween(from, to string) float64 {
	a, errFrom := time.Parse(time.DateOnly, from)
	b, errTo := time.Parse(time.DateOnly, to)
	if errFrom != nil || errTo != nil {
		return 0
	}
	return float64((b.Unix() - a.Unix()) / (24 * 60 * 60)) // a time.Duration ends at 292 years
}

// letterWidth is how wide a bold letter is on average, as a share of the size of its type, in the wider ones of the usual fonts.
const letterWidth = 0.66

// wide is about how wide words are in a size of type.
func wide(text string, size float64) float64 {
	return letterWidth * size * float64(utf8.RuneCountInString(text))
}

// beside puts words beside a point of a picture: on its right, else on its left, else as far on its right as the edge lets them.
func beside(x, gap, left, right, size float64, text string) pictureWord {
	width := wide(text, size)
	switch {
	case x+gap+width <= right:
		return pictureWord{X: tenth(x + gap), Text: text, Anchor: "start"}
	case x-gap-width >= left:
		return pictureWord{X: tenth(x - gap), Text: text, Anchor: "end"}
	default:
		return pictureWord{X: tenth(max(left, right-width)), Text: text, Anchor: "start"}
	}
}
