package stock

import (
	"fmt"
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// The verdicts of a return.
const (
	AsExpected = "as_expected"
	Excess     = "excess"    // more gas used than logged
	Short      = "short"     // less gas used than logged
	Unchanged  = "unchanged" // nothing used
)

// weighed is what a return says of the outing.
type weighed struct {
	measured    float64 // litres that left; NaN where nothing could be measured
	use         use
	uncertainty float64 // k = 2, of the measured litres
	threshold   float64
	verdict     string
	used        bool // gas went through it, or its seal is broken
	suspect     bool // it has to be held for a leak
	findings    []problem.Finding
}

// weigh compares the gas that left with the gas that was logged (R32). It is pure.
func (o outing) weigh(b brought) weighed {
	s := o.v.settings
	w := weighed{measured: math.NaN(), use: o.use(b.tests), findings: b.doubts}
	why := error(nil)
	if b.reading != nil {
		w.measured, w.uncertainty, why = o.measure(*b.reading)
	}
	expected := w.use.litres()
	w.threshold = max(s.ReturnThresholdL, w.uncertainty+expected*s.ReturnThresholdPct/100)
	w.used = len(o.logged)+len(b.tests) > 0 || b.opened || b.spent || w.measured > w.uncertainty
	say := func(severity problem.Severity, text, advice string) {
		w.findings = append(w.findings, one("R32", severity, o.cylinder, text, advice)...)
	}
	over := w.measured - expected
	switch {
	case math.IsNaN(w.measured):
		w.verdict = AsExpected
		if expected == 0 {
			w.verdict = Unchanged
		}
		o.unmeasured(b, why, expected, say)
	case w.measured < -w.uncertainty:
		w.verdict = Unchanged
		say(problem.Stop, fmt.Sprintf("it holds %.1f L more than when it went out (%.1f bar then, %.1f bar now), and the readings explain %.1f L at most",
			-w.measured, o.row.OutPressure.Bar(), b.reading.pressure.Bar(), w.uncertainty),
			"check tag, unit and temperature; where the earlier pressure was wrong, a clerk records a reading first")
	case over > w.threshold:
		w.verdict = Excess
		o.lost(b, &w, say)
	case -over > w.threshold:
		w.verdict = Short
		say(problem.Ask, fmt.Sprintf("%.2f L left it and %.2f L were logged: %.2f L less than logged, more than the %.2f L that readings explain", w.measured, expected, -over, w.threshold),
			"check the tag, the gauge and the tests, then say what happened")
	case expected == 0 && w.measured <= w.uncertainty:
		w.verdict = Unchanged
	default:
		w.verdict = AsExpected
	}
	if rose := -w.measured; w.verdict != Excess && rose >= leastRise && rose <= w.uncertainty {
		say(problem.Note, fmt.Sprintf("it reads %.1f L more than when it went out, and the readings explain %.1f L: that counts as nothing used", rose, w.uncertainty),
			"check tag and unit where it should be less")
	}
	if o.emptied(b) && !b.spent {
		say(problem.Note, fmt.Sprintf("%.1f bar is at or below its least usable pressure: it counts as spent", b.reading.pressure.Bar()), "spent is not empty: set it aside")
	}
	problem.Sort(w.findings)
	return w
}

// leastRise is the least gain in litres that is worth a word: less is the last digit of a gauge.
const leastRise = 0.1

// lost asks for the cause of gas that left without being logged. A small loss is covered by how the person explained the
// last one, and a leak that cannot be ruled out puts the cylinder on hold where it happens again or the gas is strongly adsorbing.
func (o outing) lost(b brought, w *weighed, say func(problem.Severity, string, string)) {
	over := w.measured - w.use.litres()
	text := fmt.Sprintf("%.2f L left it, and %.2f L were logged (tests %.2f L, purge %.2f L): %.2f L more, above the %.2f L that readings explain",
		w.measured, w.use.litres(), w.use.tests, w.use.purge, over, w.threshold)
	if old := b.past.remembered; b.cause == "" && over < o.v.settings.RememberedBelowL && old != "" && !suspect(old) {
		say(problem.Note, text+"; as the last time: "+old, "say so where it was something else")
		return
	}
	say(problem.Ask, text, "say why: "+list(ReturnCauses())+"; for more tests, add their lines")
	if suspect(b.cause) && (b.past.excess || o.lot.sticky(o.v.settings.AdsorbingAbovePPM)) {
		w.suspect = true
		say(problem.Note, "it is put on hold: "+LeakSuspected, fmt.Sprintf("check it with soap, and read it again after %d h at the earliest", o.v.settings.LeakCheckHours))
	}
}

// unmeasured notes why nothing was measured, and what stands for it.
func (o outing) unmeasured(b brought, why error, expected float64, say func(problem.Severity, string, string)) {
	switch {
	case why != nil:
		say(problem.Note, "pressure does not say how much left it: "+why.Error(), "weigh it")
	case b.reading != nil:
		say(problem.Note, "nobody knew its pressure when it went out", "from now on it is known")
	case expected > 0 && o.row.OutSource == Unknown:
		say(problem.Note, "no gauge was possible, and nobody knew its pressure before", "let the clerk read it")
	case expected > 0:
		say(problem.Note, fmt.Sprintf("no gauge was possible: its pressure is computed from the %.2f L that were logged", expected), "let the clerk read it when a gauge fits")
	}
}

// measure gives the litres that left between the reading with which the cylinder went out and the one now, each at its own
// temperature, and the k = 2 uncertainty of that difference. The same gauge has its offset in both.
func (o outing) measure(now taken) (litres, uncertainty float64, err error) {
	then := o.baseline()
	if then.PressureSource == Unknown {
		return math.NaN(), 0, nil
	}
	s := o.v.settings
	before, err := o.reads(then.Pressure, then.Temperature, o.v.gaugeLimit(o.item.FillPressure, then.Gauge, then.PressureSource), then.PressureSource)
	if err != nil {
		return math.NaN(), 0, err
	}
	after, err := o.reads(now.pressure, now.temperature, s.GaugeLimitBar(now.gauge), Measured)
	if err != nil {
		return math.NaN(), 0, err
	}
	if then.PressureSource == Measured && then.Gauge == now.gauge {
		before.gauge, after.gauge = before.gauge*s.SameGaugeShare, after.gauge*s.SameGaugeShare
	}
	litres = before.litres - after.litres
	volume := litres * s.VolumeLimitPct / 100
	parts := []float64{before.gauge, after.gauge, before.warmth, after.warmth, volume}
	sum := 0.0
	for _, p := range parts {
		sum += p * p
	}
	return litres, 2 * math.Sqrt(sum/3), nil // each part is the half-width of a rectangle: divided by √3
}

// baseline is the cylinder as it went out; or as somebody read it since, where that shows that there was more in it than was
// thought, which is how a clerk corrects a wrong reading.
func (o outing) baseline() cylinder {
	out := o.atOut()
	if !o.readOutside() || out.PressureSource == Unknown {
		return out
	}
	if o.v.referenceBar(o.Pressure, o.Temperature) > o.v.referenceBar(out.Pressure, out.Temperature) {
		return o.cylinder
	}
	return out
}

// readAt is the content at one reading, with what its gauge and its temperature may be off by, in litres.
type readAt struct{ litres, gauge, warmth float64 }

func (o outing) reads(p unit.Pressure, t unit.Temperature, gaugeBar float64, source string) (readAt, error) {
	content := o.v.content(o.cylinder, p, t)
	if o.lot.mixtureErr != nil {
		return readAt{}, o.lot.mixtureErr
	}
	now, err := content.FreeLitres()
	if err != nil {
		return readAt{}, err
	}
	fuller, warmer := content, content
	fuller.GaugeBar += gaugeBar
	warmer.Kelvin += o.v.temperatureLimit(t, source)
	more, err := fuller.FreeLitres()
	if err != nil {
		return readAt{}, err
	}
	less, err := warmer.FreeLitres()
	return readAt{now, more - now, now - less}, err
}
