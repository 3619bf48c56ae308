package fit

import (
	"fmt"
	"slices"
)

// FleetFit tells how many instruments a gas suits, by the values that they are set to (rule R5h).
type FleetFit struct {
	Meets   int
	Refused int
	Unknown int      // set values, factor or basis are not known
	Why     []string // a sentence for each set value that refuses it, and for each oxygen alarm that it cannot prove
}

// Fleet holds a gas against the instruments that it spans: whether a calibration with it would be refused for its values.
// Instruments of which it spans no channel are not counted.
func Fleet(g Gas, m []Instruments, p Policy) FleetFit {
	var fleet FleetFit
	var refused, unproven tally
	for i := range m {
		switch of := &m[i]; of.meets(g, p, &refused) {
		case met:
			fleet.Meets += len(of.Serials)
		case refuses:
			fleet.Refused += len(of.Serials)
		case undecided:
			fleet.Unknown += len(of.Serials)
		}
		m[i].cannotProve(g, &unproven)
	}
	for _, x := range refused {
		fleet.Why = append(fleet.Why, fmt.Sprintf("%s would be refused on %s set to %s", x.gas, monitors(x.count), x.level.Words()))
	}
	for _, x := range unproven {
		fleet.Why = append(fleet.Why, fmt.Sprintf("%s does not prove the low alarm of %s on %s", x.gas, x.level.Words(), monitors(x.count)))
	}
	return fleet
}

func monitors(n int) string {
	if n == 1 {
		return "1 monitor"
	}
	return fmt.Sprintf("%d monitors", n)
}

// tally counts instruments of all models by the amount of the gas and the level that speaks against it.
type tally []refusal

type refusal struct {
	gas   string
	level Level
	count int
}

func (t *tally) add(gas string, level Level, count int) {
	same := func(r refusal) bool { return r.gas == gas && r.level == level }
	if at := slices.IndexFunc(*t, same); at >= 0 {
		(*t)[at].count += count
		return
	}
	*t = append(*t, refusal{gas, level, count})
}

type meeting int

const (
	untouched meeting = iota
	met
	undecided
	refuses
)

// meets gives the worst verdict of the channels that the gas spans, and counts what refuses it.
func (m *Instruments) meets(g Gas, p Policy, refused *tally) meeting {
	worst := untouched
	for i := range m.Channels {
		c := &m.Channels[i]
		part := g.part(c.Component)
		if part == nil || c.CleanAir {
			continue
		}
		x, known := p.compare(c, part)
		switch {
		case !known:
			worst = max(worst, undecided)
		case x.within():
			worst = max(worst, met)
		default:
			worst = refuses
			refused.add(x.amount(), c.Set, len(m.Serials))
		}
	}
	return worst
}

// amount writes the certified value, on the channel's scale too where that is another.
func (x comparison) amount() string {
	words := x.part.Component + " " + amountWords(x.part.Amount)
	if x.rule() == "R19" {
		words += " (" + x.shows.Words() + ")"
	}
	return words
}

// cannotProve counts the oxygen alarms that a bump with this gas would not prove.
func (m *Instruments) cannotProve(g Gas, unproven *tally) {
	for i := range m.Channels {
		c := &m.Channels[i]
		if part := g.part(c.Component); part != nil && c.oxygen() && c.oxygenUnproven(part) {
			unproven.add(part.words(), c.LowAlarm, len(m.Serials))
		}
	}
}
