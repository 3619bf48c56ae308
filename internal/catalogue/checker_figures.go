package catalogue

import (
	"fmt"
	"strings"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// quantity reads a quantity as typed; one that is not given is 0.
func quantity[K ~int64](c *checker, field string, typed *unit.Typed, parse func(string) (K, error)) K {
	text := strings.TrimSpace(string(*typed))
	*typed = unit.Typed(text)
	if text == "" {
		return 0
	}
	value, err := parse(text)
	c.wrong.Take(field, err)
	return value
}

// needed is quantity for one that must be given and be more than nothing.
func needed[K ~int64](c *checker, field string, typed *unit.Typed, parse func(string) (K, error)) K {
	before := len(c.wrong)
	value := quantity(c, field, typed, parse)
	switch {
	case *typed == "":
		_, err := parse("")
		c.missing(field, adviceOf(err))
	case value <= 0 && len(c.wrong) == before:
		c.wrong.Add(field, "the "+wordsOf(field)+" is nothing", "give a figure above 0")
	}
	return value
}

// optional is quantity for a column that may be empty.
func optional[K ~int64](c *checker, field string, typed *unit.Typed, parse func(string) (K, error)) *K {
	value := quantity(c, field, typed, parse)
	if *typed == "" {
		return nil
	}
	return &value
}

func adviceOf(err error) string {
	var f problem.Fields
	f.Take("", err)
	if len(f) == 0 {
		return ""
	}
	return f[0].Advice
}

// whole checks a whole number against its bounds.
func (c *checker) whole(field string, n, low, high int64, unit string) {
	if n < low || n > high {
		c.wrong.Add(field, fmt.Sprintf("%s is out of range for the %s", spaced(n, unit), wordsOf(field)),
			fmt.Sprintf("give a whole number from %d to %s", low, spaced(high, unit)))
	}
}

// limit checks a whole number that may be left out.
func (c *checker) limit(field string, n *int64, low, high int64, unit string) {
	if n != nil {
		c.whole(field, *n, low, high, unit)
	}
}

// uses checks after how many uses a piece of equipment is due.
func (c *checker) uses(field string, n *int64) { c.limit(field, n, 1, 100_000, "uses") }

// share is number for one that may be left out.
func (c *checker) share(field string, x *float64, low, high float64, unit string) {
	if x != nil {
		c.number(field, *x, low, high, unit)
	}
}

// number checks a number against its bounds.
func (c *checker) number(field string, x, low, high float64, unit string) {
	if !(x >= low && x <= high) {
		c.wrong.Add(field, fmt.Sprintf("%s is out of range for the %s", spaced(x, unit), wordsOf(field)),
			fmt.Sprintf("give a number from %v to %s", low, spaced(high, unit)))
	}
}

func spaced(number any, unit string) string {
	return strings.TrimSpace(fmt.Sprint(number) + " " + unit)
}

// price reads money as typed; a price that nobody gave is no money.
func (c *checker) price(field string, typed *unit.Typed) unit.Money {
	text := strings.TrimSpace(string(*typed))
	*typed = unit.Typed(text)
	if text == "" {
		return unit.Money{}
	}
	money, err := unit.ParseMoney(text)
	c.wrong.Take(field, err)
	return money
}

// date reads a date as typed and keeps it as YYYY-MM-DD; "" stays.
func (c *checker) date(field string, day *unit.Date) {
	text := strings.TrimSpace(string(*day))
	*day = unit.Date(text)
	if text == "" {
		return
	}
	read, err := unit.ParseDate(text)
	if c.wrong.Take(field, err) {
		*day = read
	}
}

// past is date for a day that cannot be later than today.
func (c *checker) past(field string, day *unit.Date) {
	before := len(c.wrong)
	c.date(field, day)
	if len(c.wrong) == before && *day > c.today {
		c.wrong.Add(field, fmt.Sprintf("%s is still to come", day.Words()), "give a day up to today, "+c.today.Words())
	}
}

// outlet reads the name of an outlet, which must be given, and answers it as the list has it.
func (c *checker) outlet(field string, text *string) string {
	*text = strings.TrimSpace(*text)
	if *text == "" {
		c.missing(field, `write the standard and the number, such as "CGA C-10"`)
		return ""
	}
	o, err := fit.ParseOutlet(*text)
	c.wrong.Take(field, err)
	return string(o)
}

func outletOptions() []string { return outletNames(fit.Outlets()) }

func outletNames(outlets []fit.Outlet) []string {
	names := make([]string, len(outlets))
	for i, o := range outlets {
		names[i] = string(o)
	}
	return names
}
