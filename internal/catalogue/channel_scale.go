package catalogue

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// lelBases are offered; an instrument's own figures win over those of the standards.
var lelBases = []string{"instrument maker's own", "IEC60079-20-1:2010", "NFPA497:2008"}

func factorReadings() []string {
	var readings []string
	for _, r := range fit.FactorReadings() {
		readings = append(readings, string(r))
	}
	return readings
}

// scaleCheck reads what stands between the gas in the cylinder and the one that the display is scaled in.
func (ch *Channel) scaleCheck(ctx context.Context, c *checker, field string, gas *models.Component) {
	shown := c.component(ctx, field+"shown_gas", &ch.ShownGas, false)
	if lel := optional(c, field+"lel", &ch.LEL, unit.ParseAmount); lel != nil && *lel == 0 && levelOf(ch.LEL).Given {
		c.wrong.Add(field+"lel", "the LEL is nothing", `give what 100 %LEL is in the cylinder's gas, such as "5 %vol", or leave it out`)
	}
	c.text(field+"lel_basis", &ch.LELBasis)
	before := len(c.wrong)
	switch {
	case ch.Factor != nil:
		c.number(field+"factor", *ch.Factor, 0.01, 100, "")
		c.oneOf(field+"factor_reading", &ch.FactorReading, factorReadings()...)
		if ch.sameGas() {
			c.wrong.Add(field+"factor", "a display that shows the cylinder's own gas has no factor", "say which gas the display is scaled in, or leave the factor out")
		}
	case ch.FactorReading != "":
		c.missing(field+"factor", "give the number that the manual prints, or leave its meaning out")
	}
	if ch.Factor != nil && gas != nil && shown != nil && len(c.wrong) == before {
		c.rule("reasons.R19", ch.factorFinding(gas.Name, shown.Name))
	}
}

// factorFinding asks whether somebody has held the factor against the manual (R19): taken the wrong way round it is wrong by
// its square, and nothing shows it.
func (ch *Channel) factorFinding(gas, shown string) problem.Finding {
	return problem.Finding{
		Rule: "R19", Severity: problem.Ask, Subject: ch.label(),
		Text:   ch.sentence(gas, shown) + ": compare it with the manual",
		Advice: "give as the reason where the manual says so, such as its revision and page",
	}
}

// sentence works the factor on a gas, as the manual can be asked for it.
func (ch *Channel) sentence(gas, shown string) string {
	printed, _ := ch.printed()
	if ch.Sensor != photoionisation {
		return printed.Sentence(50, gas, shown)
	}
	f, _ := printed.F()
	return fmt.Sprintf("100 ppm %s must show %s ppm on this %s scale", gas, strconv.FormatFloat(math.Round(f*1000)/10, 'f', -1, 64), shown)
}

// printed gives the factor as the manual has it, or false where none is known.
func (ch *Channel) printed() (fit.PrintedFactor, bool) {
	if ch.Factor == nil {
		return fit.PrintedFactor{}, false
	}
	return fit.PrintedFactor{Value: *ch.Factor, Reading: fit.FactorReading(ch.FactorReading)}, true
}

// sameGas tells whether the display is scaled in the gas of the cylinder.
func (ch *Channel) sameGas() bool { return ch.ShownGas == "" || ch.ShownGas == ch.Component }

// inLEL tells whether a figure of the display is written in %LEL.
func (ch *Channel) inLEL() bool {
	for _, typed := range []unit.Typed{ch.SetValue, ch.LowAlarm, ch.HighAlarm, ch.Range} {
		if levelOf(typed).InLEL {
			return true
		}
	}
	return false
}
