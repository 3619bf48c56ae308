package stock

import (
	"fmt"
	"strings"

	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/unit"
)

// verdict is what the rules say of one cylinder for one need, with the figures they rest on.
type verdict struct {
	findings []problem.Finding
	useBy    shelf.UseBy // a sealed one is judged as if opened on the first day
	contents contents
	margin   gas.Margin
}

// stopped tells whether the cylinder cannot be taken at all.
func (d verdict) stopped() bool { return problem.Worst(d.findings) == problem.Stop }

// asks tells whether taking it needs a reason.
func (d verdict) asks() bool { return problem.Worst(d.findings) == problem.Ask }

// decide holds a cylinder against a need: every rule, all findings at once, worst first. Recommend and check out both ask
// it, so what is recommended can be checked out.
func (v *view) decide(c cylinder, n need) verdict {
	d := verdict{useBy: v.useBy(c, n.from)}
	d.contents = v.contents(c, n.purpose, n.minimumInlet())
	if d.contents.err == nil {
		d.margin = d.contents.Margin(n.litres(), v.settings.FlowLimitPct)
	}
	say := func(found []problem.Finding) { d.findings = append(d.findings, found...) }
	say(v.custody(c, n))
	say(v.missed(c))
	say(v.held(c, n))
	say(v.dates(c, n, d.useBy))
	say(v.half(c, n))
	say(v.enough(c, n, d))
	say(v.trusted(c))
	say(v.cold(c, n))
	say(v.matched(c, n))
	say(v.fittings(c, n))
	say(v.moved(c, n))
	say(v.high(c, n))
	problem.Sort(d.findings)
	return d
}

func one(rule string, severity problem.Severity, c cylinder, text, advice string) []problem.Finding {
	return []problem.Finding{{Rule: rule, Severity: severity, Subject: string(c.Tag), Text: text, Advice: advice}}
}

// custody stops a cylinder that is not there to be taken (R15, R30).
func (v *view) custody(c cylinder, n need) []problem.Finding {
	switch {
	case c.Stage == Gone:
		return one("R15", problem.Stop, c, "this cylinder is gone", "take another one; check the tag if you hold it in your hand")
	case c.Stage == Spent:
		return one("R15", problem.Stop, c, "this cylinder is spent", "take another one")
	case c.with(n.asker):
		return one("R30", problem.Stop, c, "you have it since "+v.clock(c.HeldSince), c.yours())
	case c.HolderID != nil:
		return one("R30", problem.Stop, c, fmt.Sprintf("it is with %s since %s", c.holder, v.clock(c.HeldSince)), "ask "+c.holder+", or take another one")
	case c.PlaceID == nil:
		return one("R15", problem.Stop, c, "this cylinder stands at no place of the site", "take another one; let the clerk shelve it if it is here")
	}
	return nil
}

// with tells whether a person has the cylinder.
func (c cylinder) with(person int64) bool { return c.HolderID != nil && *c.HolderID == person }

// yours says how its own holder goes on.
func (c cylinder) yours() string {
	if c.CheckoutID == nil {
		return "bring it back first, or take another one"
	}
	return fmt.Sprintf("log tests on your check-out %d, or bring it back first", *c.CheckoutID)
}

// missed notes a cylinder that somebody did not find where it should stand (R16).
func (v *view) missed(c cylinder) []problem.Finding {
	if !v.sought[c.Tag] || c.HolderID != nil {
		return nil
	}
	return one("R16", problem.Note, c, "somebody did not find it at "+c.place+": the clerk is looking for it", "take another one; tell the clerk if you hold it in your hand")
}

// clock writes an instant as people in the storeroom read it: the hour alone for today.
func (v *view) clock(at unit.Instant) string {
	local := at.Time().In(v.settings.Location())
	if unit.DateOf(local) == v.today {
		return local.Format("15:04")
	}
	return local.Format("2 Jan 15:04")
}

// held stops what a hold forbids for this purpose (R27).
func (v *view) held(c cylinder, n need) []problem.Finding {
	var found []problem.Finding
	for _, h := range c.holds {
		text := fmt.Sprintf("on hold: %s (%s)", h.Reason, strings.TrimSpace(h.OnKind+" "+h.OnName))
		if forbids(h.Reason, n.purpose) {
			found = append(found, one("R27", problem.Stop, c, text, "take another one; the hold has to be released first")...)
			continue
		}
		found = append(found, one("R27", problem.Note, c, text+": bump tests on label values only", "do not calibrate with it")...)
	}
	for _, h := range n.along.holds {
		found = append(found, problem.Finding{Rule: "R27", Severity: problem.Stop, Subject: h.OnName, Text: "the regulator is on hold: " + h.Reason, Advice: "take another regulator"})
	}
	return found
}

// dates stops gas that is not good through the last day of use, or for calibration without a supplier's date (R9, R26).
func (v *view) dates(c cylinder, n need, u shelf.UseBy) []problem.Finding {
	if u.Undated {
		return one("R26", problem.Stop, c, u.Words, "find the certificate or the fill date, or take another one")
	}
	var found []problem.Finding
	if shelf.Expired(u.ExpiresOn, n.until, v.settings.ThroughDay()) {
		severity, advice := problem.Stop, v.finish(u.ExpiresOn)
		if n.mayExpire && !n.purpose.exact() {
			severity, advice = problem.Ask, "say why bump tests with it are right"
		}
		text := fmt.Sprintf("use by %s, %s; the last day of use is %s", u.ExpiresOn.Words(), u.Words, n.until.Words())
		found = one("R26", severity, c, text, advice)
	}
	if n.purpose.exact() && !u.CalibrationAllowed {
		found = append(found, one("R26", problem.Stop, c, "there is no supplier's date, so it is for bump tests only", "take one with a supplier's date, or find the certificate")...)
	}
	return found
}

// finish advises to be through before the gas expires, where there is still time.
func (v *view) finish(expires unit.Date) string {
	if last := v.lastDay(expires); last >= v.today {
		return "take another one, or finish by " + last.Words()
	}
	return "take another one"
}

// lastDay is the last day on which gas of a use-by is good.
func (v *view) lastDay(expires unit.Date) unit.Date {
	if v.settings.ThroughDay() {
		return expires
	}
	return expires.AddDays(-1)
}
