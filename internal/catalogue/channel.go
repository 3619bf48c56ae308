package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/fit"
	"spanroom/internal/unit"
)

// Channel is one gas that a model measures: the component in the cylinder that spans it, what it is set to and where it alarms.
// A display may show another gas than the one in the cylinder, and in %LEL; what then stands between the two is its scale.
type Channel struct {
	Component     string     `json:"component"`
	Formula       string     `json:"formula,omitempty"` // of the component, by which the tables know it
	Name          string     `json:"name,omitempty"`    // as the display calls it
	SetValue      unit.Typed `json:"set_value,omitempty"`
	LowAlarm      unit.Typed `json:"low_alarm,omitempty"`
	HighAlarm     unit.Typed `json:"high_alarm,omitempty"`
	SpanBy        string     `json:"span_by,omitempty"`
	Range         unit.Typed `json:"range,omitempty"` // its upper end
	Accuracy      unit.Typed `json:"accuracy,omitempty"`
	T90           unit.Typed `json:"t90,omitempty"`
	TolerancePct  *float64   `json:"tolerance_pct,omitempty"`
	Sensor        string     `json:"sensor,omitempty"`
	OxygenMin     unit.Typed `json:"oxygen_min,omitempty"`
	ShownGas      string     `json:"shown_gas,omitempty"`
	LEL           unit.Typed `json:"lel,omitempty"`
	LELBasis      string     `json:"lel_basis,omitempty"`
	Factor        *float64   `json:"factor,omitempty"`
	FactorReading string     `json:"factor_reading,omitempty"`
}

// What a channel is spanned by; "" is a cylinder too.
const (
	ByCylinder = "cylinder"
	ByCleanAir = "clean air"
)

// photoionisation sensors show amounts, and their factors are between amounts.
const photoionisation = "photoionisation"

// Sensors lists the principles of sensors that are told apart.
func Sensors() []string {
	return []string{"electrochemical", "catalytic", "infrared", photoionisation, "thermal"}
}

// oxygenInAir is what clean air has at least.
const oxygenInAir unit.Amount = 209_000_000

// label is what people call the channel.
func (ch *Channel) label() string { return named(ch.Name, ch.Component) }

func (ch *Channel) check(ctx context.Context, c *checker, field string) {
	gas := c.component(ctx, field+"component", &ch.Component, true)
	if ch.Formula = ""; gas != nil {
		ch.Formula = gas.Formula
	}
	c.text(field+"name", &ch.Name)
	ch.scaleCheck(ctx, c, field, gas)
	l := ch.levels(c, field)
	c.oneOfOrNone(field+"span_by", &ch.SpanBy, ByCylinder, ByCleanAir)
	quantity(c, field+"accuracy", &ch.Accuracy, unit.ParseAmount)
	quantity(c, field+"t90", &ch.T90, unit.ParseSeconds)
	c.share(field+"tolerance_pct", ch.TolerancePct, 0.1, 50, "%")
	c.oneOfOrNone(field+"sensor", &ch.Sensor, Sensors()...)
	quantity(c, field+"oxygen_min", &ch.OxygenMin, unit.ParseAmount)
	if gas != nil {
		ch.air(c, field, gas.Formula == "O2", l)
	}
}

// levels reads the figures of the display and puts them in order, as far as they can be compared.
func (ch *Channel) levels(c *checker, field string) levels {
	l := levels{
		set: c.level(field+"set_value", &ch.SetValue), low: c.level(field+"low_alarm", &ch.LowAlarm),
		high: c.level(field+"high_alarm", &ch.HighAlarm), top: c.level(field+"range", &ch.Range),
	}
	display := ch.fit()
	if order, known := display.Compare(l.low, l.high); known && order >= 0 {
		c.wrong.Add(field+"low_alarm", fmt.Sprintf("%s is not below the high alarm, %s", ch.LowAlarm, ch.HighAlarm), "check both figures and their units")
	}
	for _, f := range []struct {
		name  string
		typed unit.Typed
		level fit.Level
	}{{"set_value", ch.SetValue, l.set}, {"low_alarm", ch.LowAlarm, l.low}, {"high_alarm", ch.HighAlarm, l.high}} {
		if order, known := display.Compare(f.level, l.top); known && order > 0 {
			c.wrong.Add(field+f.name, fmt.Sprintf("%s is above the range, which ends at %s", f.typed, ch.Range), "check both figures and their units")
		}
	}
	return l
}

// levels are the figures of a display.
type levels struct{ set, low, high, top fit.Level }

// air refuses what only oxygen can have, and what it cannot.
func (ch *Channel) air(c *checker, field string, oxygen bool, l levels) {
	switch {
	case !oxygen && ch.SpanBy == ByCleanAir:
		c.wrong.Add(field+"span_by", "only oxygen is spanned by clean air, which has none of the others", `choose "cylinder"`)
	case oxygen && (ch.inLEL() || ch.LEL != ""):
		c.wrong.Add(field+"lel", "oxygen does not burn, so nothing of it is in %LEL", "write its figures in %vol, and leave the LEL out")
	case oxygen && ch.SpanBy == ByCleanAir:
		air := l.set
		if !air.Given {
			air = fit.Level{Amount: oxygenInAir, Given: true}
		}
		display := ch.fit()
		if order, known := display.Compare(l.low, air); known && order >= 0 {
			c.wrong.Add(field+"low_alarm", fmt.Sprintf("%s is not below what clean air has, so it would always sound", ch.LowAlarm), "check the figure and its unit, or choose another way to span it")
		}
	}
}
