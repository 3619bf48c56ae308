package stock

import (
	"math"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// Explained is why a check-out and its return were decided as they were, kept as it was on that day.
type Explained struct {
	Out    ExplainedOut     `json:"out"`
	Return *ExplainedReturn `json:"return,omitempty"`
}

// ExplainedOut is what the decision to take rested on. With the settings of its version it can be worked out again.
type ExplainedOut struct {
	Findings    []problem.Finding `json:"findings"`
	Reasons     map[string]string `json:"reasons"`
	Need        NeedAnswer        `json:"need"`
	NeedL       float64           `json:"need_l"`
	Margin      *MarginAnswer     `json:"margin_l"`
	Stage       string            `json:"stage"`
	Reading     LastReading       `json:"reading"`
	GaugeLimit  float64           `json:"gauge_limit_bar"`
	Usable      UsableAnswer      `json:"usable"`
	UseBy       UseByDate         `json:"use_by"`
	IfOpenedOn  unit.Date         `json:"if_opened_on"` // a sealed one is judged as if opened on this day
	LabelValues []string          `json:"label_values"`
	Versions    map[string]int64  `json:"versions"` // of item, lot, blend, cylinder and procedures
}

func (t taking) explain(d verdict, reasons map[string]string) ExplainedOut {
	e := ExplainedOut{
		Findings: append([]problem.Finding{}, d.findings...), Reasons: given(reasons), Need: t.needAnswer(), NeedL: t.litres(), Stage: t.Stage,
		Reading: t.lastReading(), GaugeLimit: t.v.gaugeLimit(t.item.FillPressure, t.Gauge, t.PressureSource),
		Usable: t.v.usableWith(t.cylinder, d.contents), UseBy: useByDate(d.useBy, t.v.today), LabelValues: t.labelValues(), Versions: t.versions(),
	}
	if d.contents.err == nil {
		e.Margin = &MarginAnswer{d.margin.Expected, d.margin.Low}
	}
	if t.OpenedOn == "" {
		e.IfOpenedOn = t.from
	}
	return e
}

// given are the reasons as they are kept: none are an empty object and not null.
func given(reasons map[string]string) map[string]string {
	if reasons == nil {
		return map[string]string{}
	}
	return reasons
}

func (t taking) versions() map[string]int64 {
	versions := map[string]int64{
		"item:" + t.item.Code: t.item.Version, "lot:" + t.lot.Lot.Lot: t.lot.Version, "blend:" + t.blend.Code: t.blend.Version,
		"cylinder:" + string(t.Tag): t.cylinder.Version,
	}
	for _, test := range t.tests {
		versions["procedure:"+test.Code] = test.Version
	}
	for code, m := range t.models {
		versions["model:"+code] = m.Version
	}
	if r := t.along.regulator; r != nil {
		versions["regulator:"+r.Code] = r.Version
	}
	return versions
}

// labelValues are the components as the cylinder's label must read, without the balance gas.
func (c cylinder) labelValues() []string {
	values := []string{}
	for _, a := range c.amounts() {
		if a.Source != "balance" {
			values = append(values, a.Words)
		}
	}
	return values
}

// leftOf counts the tests of each procedure that are left in a cylinder.
func (v *view) leftOf(c cylinder, n need) []TestsLeft {
	left := []TestsLeft{}
	for _, p := range n.procedures() {
		if one, known := v.testsLeft(c, p, n); known {
			left = append(left, one)
		}
	}
	return left
}

// litresOf keeps litres to the millilitre; what is less than none is kept as it is.
func litresOf(litres float64) unit.Volume { return unit.Volume(math.Round(litres * 1000)) }
