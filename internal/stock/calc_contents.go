package stock

import (
	"cmp"
	"context"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// ContentsQuestion asks what is in a cylinder and how many tests it gives. What is left out is the item's, else the site's; without
// flow and time no tests are counted.
type ContentsQuestion struct {
	Item            string     `json:"item"`
	Blend           string     `json:"blend"`
	WaterVolume     unit.Typed `json:"water_volume"`
	Pressure        unit.Typed `json:"pressure"`
	Temperature     unit.Typed `json:"temperature"` // or cold, room, hot
	Gauge           string     `json:"gauge"`
	MinimumPressure unit.Typed `json:"minimum_pressure"`
	Purpose         Purpose    `json:"purpose"`
	Flow            unit.Typed `json:"flow"`
	Time            unit.Typed `json:"time"` // of one test
	Purge           unit.Typed `json:"purge"`
}

// contentsFields are the fields of the gas room by their names in the form.
var contentsFields = map[string]string{
	"gauge_bar": "pressure", "temperature_k": "temperature", "water_volume_l": "water_volume", "heel_gauge_bar": "minimum_pressure",
	"flow_l_min": "flow", "duration_min": "time",
}

// contentsSheet is a question that has been read.
type contentsSheet struct {
	moment
	namedGas
	gas.Reading
	unmixed     error // why the content cannot be known from the pressure
	temperature unit.Temperature
	gauge       string
	cutoff      cutoff
	purpose     Purpose
	draw        *gas.Draw // nil where no test is described
	purgeL      float64
}

// CalculateContents answers a ContentsQuestion. Where pressure says nothing the refusal is the answer.
func (r Room) CalculateContents(ctx context.Context, q ContentsQuestion) (ContentsAnswer, error) {
	reader, err := r.calculating(ctx)
	if err != nil {
		return ContentsAnswer{}, err
	}
	sheet := reader.contents(ctx, q)
	if err := reader.err(); err != nil {
		return ContentsAnswer{}, err
	}
	return sheet.answer(), nil
}

func (r *needReader) contents(ctx context.Context, q ContentsQuestion) contentsSheet {
	s := contentsSheet{moment: r.moment, namedGas: r.gas(ctx, q.Item, q.Blend), purpose: q.Purpose}
	if strings.TrimSpace(q.Item+q.Blend) == "" {
		r.wrong.Add("item", "it is not said which gas it is", "choose an item, or a blend of whatever size")
	}
	choice(r, "purpose", q.Purpose, []Purpose{Bump, Line, Zero, Check, Calibration})
	s.temperature = r.temperature("temperature", q.Temperature)
	s.gauge = cmp.Or(r.gauge("gauge", q.Gauge), r.settings.DefaultGauge)
	s.cutoff = r.cutoffOf(s, q)
	s.draw = r.drawOf(q)
	s.purgeL = quantityOf(&r.orderReader, "purge", q.Purge, unit.ParseVolume).Litres()
	s.Reading = gas.Reading{
		Content: gas.Content{
			WaterL: r.volumeOf(s, q).Litres(), GaugeBar: r.pressureOf(s, q).Bar(), Kelvin: kelvinOf(s.temperature),
			AtmBar: r.settings.AtmosphereBar, Ref: gas.Reference(r.settings.Reference),
		},
		HeelBar: s.cutoff.bar, GaugeLimitBar: r.settings.GaugeLimitBar(s.gauge), VolumeLimitPct: r.settings.VolumeLimitPct,
		TemperatureLimitK: (&view{moment: r.moment}).temperatureLimit(s.temperature, Measured),
	}
	if r.err() == nil {
		s.Mixture, s.unmixed = gas.NewMixture(catalogue.MixOf(s.parts))
		r.wrong.Take("", renamed(s.check(), contentsFields))
	}
	return s
}

// volumeOf is the water volume as typed, else that of the item.
func (r *needReader) volumeOf(s contentsSheet, q ContentsQuestion) unit.Volume {
	if q.WaterVolume == "" && s.item.WaterVolume > 0 {
		return s.item.WaterVolume
	}
	return needed(r, "water_volume", q.WaterVolume, unit.ParseVolume, "the water volume is not given", `write it with its unit, such as "1.0 L", or choose an item`)
}

// pressureOf refuses what the item cannot hold even in the heat: it is most often a wrong unit (R5f).
func (r *needReader) pressureOf(s contentsSheet, q ContentsQuestion) unit.Pressure {
	pressure := needed(r, "pressure", q.Pressure, unit.ParsePressure, "the pressure is not given", `write it with its unit, such as "62 bar"`)
	if s.item.FillPressure == 0 {
		return pressure
	}
	for _, f := range (known{moment: r.moment}).pressure(s.item, arrival{pressure: pressure, typed: q.Pressure, opened: true}) {
		r.wrong.Add("pressure", f.Text, f.Advice)
	}
	return pressure
}

// cutoffOf is the minimum pressure as typed, else that of the item or the site. Where no purpose is named it is the one for
// purposes that rely on the certified value.
func (r *needReader) cutoffOf(s contentsSheet, q ContentsQuestion) cutoff {
	if q.MinimumPressure != "" {
		return cutoff{quantityOf(&r.orderReader, "minimum_pressure", q.MinimumPressure, unit.ParsePressure).Bar(), "as asked for here"}
	}
	bar, why := r.settings.CutoffOf(s.item, s.parts, q.Purpose == "" || q.Purpose.exact())
	return cutoff{bar, why}
}

// drawOf is what one test takes, or nil where none is described.
func (r *needReader) drawOf(q ContentsQuestion) *gas.Draw {
	if q.Flow == "" && q.Time == "" {
		return nil
	}
	flow := needed(r, "flow", q.Flow, unit.ParseFlow, "the flow is not given", `write it with its unit, such as "0.3 L/min", or leave the time out as well`)
	time := needed(r, "time", q.Time, unit.ParseSeconds, "the time of one test is not given", `write it with its unit, such as "30 s", or leave the flow out as well`)
	return &gas.Draw{FlowLMin: flow.LitresPerMinute(), Minutes: time.Minutes(), FlowLimitPct: r.settings.FlowLimitPct}
}

// check tells which figure the gas room does not take. A blend that has no mixture is another matter.
func (s contentsSheet) check() error {
	var wrong problem.Fields
	if s.draw != nil {
		wrong.Take("", s.draw.Check())
	}
	if s.unmixed == nil {
		if _, err := s.Usable(); problem.KindOf(err) == problem.Invalid {
			wrong.Take("", err)
		}
	}
	return wrong.Err()
}
