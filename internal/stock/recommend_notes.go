package stock

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// nothing says why no cylinder may be taken, and what to do instead.
func (f *field) nothing(pair *Pair, stopped map[string]int) problem.Finding {
	return problem.Finding{Rule: "R15", Severity: problem.Stop, Subject: f.name, Text: f.whyNone(stopped), Advice: f.wayOut(pair)}
}

func (f *field) whyNone(stopped map[string]int) string {
	if len(f.candidates) == 0 {
		return "there is no cylinder of it here, sealed or opened"
	}
	var parts []string
	for _, rule := range slices.Sorted(maps.Keys(stopped)) {
		parts = append(parts, StoppedWords(rule, stopped[rule]))
	}
	return fmt.Sprintf("none of the %d at hand may be taken for this: %s", len(f.candidates), strings.Join(parts, ", "))
}

// StoppedWords says how many cylinders a rule stops, and what the rule is about.
func StoppedWords(rule string, n int) string {
	return fmt.Sprintf("%d by %s (%s)", n, rule, stopWords[rule])
}

// stopWords say in short what each rule stops.
var stopWords = map[string]string{
	"R10": "at or below minimum pressure", "R14b": "has been too cold", "R15": "not at a place", "R17": "not what the instruments are set to",
	"R18": "proves too few alarms", "R19": "combustible channel", "R20": "not enough gas", "R21": "outlet", "R22": "rating", "R23": "flow",
	"R17b": "not to zero them with", "R24": "material or last gas", "R26": "expired by the last day, or no date", "R27": "on hold",
	"R30": "with somebody", "R51": "opened, nobody knows when",
}

// wayOut names the nearest way: two cylinders, an earlier end, whoever has one, or an order.
func (f *field) wayOut(pair *Pair) string {
	var ways []string
	if pair != nil {
		ways = append(ways, pair.Words)
	}
	told := map[string]bool{} // one way of each sort is enough
	for _, i := range f.ownFirst() {
		c := f.candidates[i]
		rules := c.stopRules()
		if len(rules) != 1 || told[rules[0]] {
			continue
		}
		if way := f.wayWith(c, rules[0]); way != "" {
			told[rules[0]], ways = true, append(ways, way)
		}
	}
	for _, item := range f.products {
		if sources := f.sources[item.ID]; len(sources) > 0 {
			ways = append(ways, orderFrom(item.Code, sources[0]))
			break
		}
	}
	if len(ways) == 0 {
		return "tell the purchaser that it is needed"
	}
	return strings.Join(ways, "; or ")
}

// ownFirst is the turn of the cylinders with those first that the person who asks has: nobody is nearer.
func (f *field) ownFirst() []int {
	turn := slices.Clone(f.turn)
	slices.SortStableFunc(turn, func(a, b int) int { return before(f.candidates[a].with(f.asker), f.candidates[b].with(f.asker)) })
	return turn
}

func orderFrom(item string, s store.SourceOf) string {
	if s.LeadDays == 0 { // not entered
		return fmt.Sprintf("order %s from %s", item, s.SupplierName)
	}
	return fmt.Sprintf("order %s from %s, %d days", item, s.SupplierName, s.LeadDays)
}

// wayWith says how a cylinder could serve that one rule stops, or "".
func (f *field) wayWith(c candidate, rule string) string {
	switch {
	case rule == "R26" && c.useBy.ExpiresOn >= f.today:
		return fmt.Sprintf("plan the use of %s to end by %s", c.Tag, f.lastDay(c.useBy.ExpiresOn).Words())
	case rule == "R27" && len(c.holds) > 0:
		return fmt.Sprintf("have the hold on %s released", c.Tag)
	case rule == "R17", rule == "R19":
		return fmt.Sprintf("set the instruments to what is in %s where their manual allows it, or take a gas that they are set to", c.Tag)
	case rule == "R30" && c.with(f.asker):
		return fmt.Sprintf("bring back %s, which you have", c.Tag)
	case rule == "R30":
		return fmt.Sprintf("ask %s for %s", c.holder, c.Tag)
	}
	return ""
}
