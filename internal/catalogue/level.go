package catalogue

import (
	"fmt"
	"regexp"
	"strings"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// explosive is a figure in percent of the lower explosive limit, which some displays call the flammable limit.
var explosive = regexp.MustCompile(`(?i)^(.*?)\s*%\s*(?:LEL|LFL)$`)

// ParseLevel reads a figure of a display: an amount, such as "25 ppm", or a percentage of the explosive limit, such as "50 %LEL".
// What %LEL is in %vol only the channel itself can say.
func ParseLevel(text string) (fit.Level, error) {
	text = strings.TrimSpace(text)
	m := explosive.FindStringSubmatch(text)
	if m == nil {
		amount, err := unit.ParseAmount(text)
		return fit.Level{Amount: amount, Given: err == nil}, err
	}
	percent, err := unit.ParseAmount(m[1] + " %vol") // the same percentages, read in the same way
	if err != nil {
		return fit.Level{}, problem.New(problem.Invalid, fmt.Sprintf("%q is not a figure from 0 to 100 %%LEL", clip(text)), `write it like "50 %LEL"`)
	}
	return fit.Level{LEL: float64(percent) / 1e7, InLEL: true, Given: true}, nil
}

// level reads a figure of a display; one that is not given is the zero Level. A display is set to nothing only by mistake.
func (c *checker) level(field string, typed *unit.Typed) fit.Level {
	*typed = unit.Typed(strings.TrimSpace(string(*typed)))
	if *typed == "" {
		return fit.Level{}
	}
	level, err := ParseLevel(string(*typed))
	if c.wrong.Take(field, err) && level.Amount == 0 && level.LEL == 0 {
		c.wrong.Add(field, "the "+wordsOf(field)+" is nothing", "give a figure above 0, or leave it out")
		return fit.Level{}
	}
	return level
}

// levelOf is ParseLevel for what a check has let through.
func levelOf(typed unit.Typed) fit.Level {
	level, err := ParseLevel(string(typed))
	if err != nil {
		return fit.Level{}
	}
	return level
}

// kept reads a quantity that a check has let through; 0 for none.
func kept[K ~int64](typed unit.Typed, parse func(string) (K, error)) K {
	value, err := parse(string(typed))
	if err != nil {
		return 0
	}
	return value
}
