package catalogue

import (
	"spanroom/internal/fit"
	"spanroom/internal/unit"
)

// ModelChannels gives the channels of a model as one instrument has them: with its own set values where they differ.
func ModelChannels(m Model, i Instrument) []fit.Channel {
	set := map[*Channel]fit.Level{}
	for _, v := range i.SetValues {
		if own := v.meant(m.Channels); len(own) == 1 {
			set[own[0]] = levelOf(v.SetValue)
		}
	}
	var channels []fit.Channel
	for n := range m.Channels {
		ch := &m.Channels[n]
		one := ch.fit()
		if level, differs := set[ch]; differs {
			one.Set = level
		}
		channels = append(channels, one)
	}
	return channels
}

// fit gives a channel as the check takes it.
func (ch *Channel) fit() fit.Channel {
	one := fit.Channel{
		Component: ch.Component, Formula: ch.Formula, Name: ch.Name,
		Set: levelOf(ch.SetValue), LowAlarm: levelOf(ch.LowAlarm), HighAlarm: levelOf(ch.HighAlarm), Range: levelOf(ch.Range),
		Accuracy: kept(ch.Accuracy, unit.ParseAmount), T90: kept(ch.T90, unit.ParseSeconds),
		CleanAir: ch.SpanBy == ByCleanAir, Sensor: ch.Sensor, OxygenMin: kept(ch.OxygenMin, unit.ParseAmount),
	}
	if ch.TolerancePct != nil {
		one.Tolerance = *ch.TolerancePct
	}
	factor, has := ch.printed()
	if has || !ch.sameGas() || ch.LEL != "" || ch.inLEL() {
		one.Scale = &fit.Scale{Shown: ch.ShownGas, LEL: kept(ch.LEL, unit.ParseAmount), Basis: ch.LELBasis, Factor: factor, HasFactor: has}
	}
	return one
}
