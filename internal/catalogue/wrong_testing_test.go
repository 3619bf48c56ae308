package catalogue_test

import (
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// m4 is a four-gas monitor whose manual says all that can be said.
const m4 = `{"code":"M4","name":"four-gas","manual":"revision 6","sampling":"diffusion","flow_min":"0.25 L/min","flow_max":"0.35 L/min","flow":"0.3 L/min","vent":"open hose",
	"zero_gas":"nitrogen","set_values_adjustable":true,"connected":true,"channels":[
	{"component":"CH4","name":"LEL","set_value":"50 %LEL","low_alarm":"10 %LEL","high_alarm":"20 %LEL","range":"100 %LEL","sensor":"catalytic","oxygen_min":"12 %vol","lel":"5 %vol","lel_basis":"NFPA497:2008"},
	{"component":"O2","set_value":"20.9 %vol","low_alarm":"19.5 %vol","high_alarm":"23.5 %vol","span_by":"clean air","accuracy":"0.3 %vol"},
	{"component":"CO","set_value":"100 ppm","low_alarm":"30 ppm","high_alarm":"60 ppm","range":"500 ppm","t90":"15 s","tolerance_pct":4,"sensor":"electrochemical"},
	{"component":"H2S","set_value":"25 ppm","low_alarm":"5 ppm","high_alarm":"10 ppm"}],
	"cross_sensitivities":[{"channel":"CO","gases":["H2S","H2"],"interferes":true}]}`

// testingRoom is newRoom with a model, a filter and a procedure.
func testingRoom(t *testing.T, s *store.Store) catalogue.Room {
	t.Helper()
	r := newRoom(t, s)
	made(t, r, &catalogue.Item{Code: "FILTER", Kind: "filter"})
	made(t, r, &catalogue.Item{Code: "ZA", Kind: catalogue.Gas, Blend: "ZA", WaterVolume: "1 L", FillPressure: "69 bar", Outlet: "C-10"})
	made(t, r, &catalogue.Procedure{Code: "bump", Purpose: catalogue.Bump, Flow: "0.3 L/min", Duration: "30 s"})
	made(t, r, orderOf(t, "models", m4))
	return r
}

// channel is a model's order with one channel in it.
func channel(text string) string { return `{"code":"x","channels":[` + text + `]}` }

var wrongTesting = []wrongOrder{
	{"figures that cross", "models", channel(`{"component":"CO","set_value":"600 ppm","low_alarm":"60 ppm","high_alarm":"30 ppm","range":"500 ppm"},
		{"component":"CH4","set_value":"60 %LEL","low_alarm":"20 %LEL","high_alarm":"20 %LEL","range":"50 %LEL"},
		{"component":"C3H8","set_value":"2.2 %vol","low_alarm":"0.5 %vol","high_alarm":"20 %LEL","range":"100 %LEL","lel":"2.1 %vol"}`), problem.Invalid,
		map[string]string{"channels.0.set_value": "600 ppm is above the range", "channels.0.low_alarm": "60 ppm is not below the high alarm, 30 ppm",
			"channels.1.set_value": "above the range", "channels.1.low_alarm": "20 %LEL is not below", "channels.2.set_value": "2.2 %vol is above the range", "channels.2.low_alarm": "0.5 %vol is not below the high alarm, 20 %LEL"}},
	{"figures of nothing", "models", channel(`{"component":"CO","set_value":"0 ppm","low_alarm":"0 %LEL","high_alarm":"101 %LEL","range":"5 m","lel":"0 %vol","accuracy":"3","t90":"15","tolerance_pct":0,"oxygen_min":"10"}`), problem.Invalid,
		map[string]string{"channels.0.set_value": "is nothing", "channels.0.low_alarm": "is nothing", "channels.0.high_alarm": "from 0 to 100 %LEL", "channels.0.range": "not a unit", "channels.0.lel": "is nothing",
			"channels.0.accuracy": "no unit", "channels.0.t90": "no unit", "channels.0.tolerance_pct": "0 % is out of range", "channels.0.oxygen_min": "no unit"}},
	{"words that are not known", "models", `{"code":"x","sampling":"sucked","zero_gas":"helium","channels":[{"component":"CO","span_by":"air","sensor":"magic","shown_gas":"gas","lel":"5 %LEL"}]}`, problem.Invalid,
		map[string]string{"sampling": "cannot be", "zero_gas": "cannot be", "channels.0.span_by": "cannot be", "channels.0.sensor": "cannot be", "channels.0.shown_gas": "no component", "channels.0.lel": "not a unit"}},
	{"flows that cross", "models", `{"code":"x","flow_min":"1 L/min","flow_max":"0.5 L/min","pump_flow":"0.3 L/min"}`, problem.Invalid,
		map[string]string{"flow_min": "is above the most", "pump_flow": "only a pumped instrument"}},
	{"a flow outside the range", "models", `{"code":"x","flow_min":"0.2 L/min","flow_max":"0.5 L/min","flow":"0.6 L/min"}`, problem.Invalid, map[string]string{"flow": "outside the range"}},
	{"channels that nobody can tell apart", "models", channel(`{"component":"CH4"},{"component":"CH4"},{"component":"CH4","name":"IR"},{"component":"CO","name":"IR"}`), problem.Invalid,
		map[string]string{"channels.1.component": `"CH4" is listed more than once`, "channels.3.name": `"IR" is listed more than once`}},
	{"what oxygen cannot have", "models", channel(`{"component":"O2","low_alarm":"19.5 %vol","high_alarm":"50 %LEL"},{"component":"CO","span_by":"clean air"},
		{"component":"O2","name":"O2 2","span_by":"clean air","low_alarm":"21 %vol"},{"component":"O2","name":"O2 3","span_by":"clean air","set_value":"20.8 %vol","low_alarm":"20.8 %vol"}`), problem.Invalid,
		map[string]string{"channels.0.lel": "does not burn", "channels.1.span_by": "only oxygen", "channels.2.low_alarm": "always sound", "channels.3.low_alarm": "always sound"}},
	{"half a factor", "models", channel(`{"component":"CH4","shown_gas":"C3H8","factor":1.2},{"component":"C3H8","shown_gas":"CH4","factor_reading":"multiplier"},
		{"component":"CO","factor":1.1,"factor_reading":"multiplier"},{"component":"H2","shown_gas":"H2","factor":0,"factor_reading":"inverse"}`), problem.Invalid,
		map[string]string{"channels.0.factor_reading": "not given", "channels.1.factor": "not given", "channels.2.factor": "own gas has no factor",
			"channels.3.factor": "0 is out of range", "channels.3.factor_reading": `cannot be "inverse"`}},
	{"other gases", "models", `{"code":"x","channels":[{"component":"CO"}],"cross_sensitivities":[{"channel":"H2S","gases":["CO"]},{"channel":"CO","gases":["CO","XX"]},{"gases":[]},
		{"channel":"CO","gases":["H2"]},{"channel":"CO","gases":["H2"],"interferes":true}]}`, problem.Invalid,
		map[string]string{"cross_sensitivities.0.channel": "no channel", "cross_sensitivities.1.gases": "is the gas of this channel", "cross_sensitivities.2.channel": "not given", "cross_sensitivities.2.gases": "not given",
			"cross_sensitivities.4.gases": `"H2 on CO" is listed more than once`}},

	{"an instrument set to what it has not", "instruments", `{"code":"x","model":"M4","set_values":[{"component":"Cl2","set_value":"10 ppm"},{"component":"CO","set_value":"600 ppm"},{"component":"H2S"},
		{"set_value":"1 ppm"},{"component":"CH4","name":"IR","set_value":"5 %LEL"},{"component":"H2S","set_value":"20"},{"component":"CH4","set_value":"50 %LEL"},{"component":"CH4","name":"LEL","set_value":"0 %LEL"}]}`, problem.Invalid,
		map[string]string{"set_values.0.component": "no channel Cl2", "set_values.1.set_value": "600 ppm is above the range", "set_values.2.set_value": "not given", "set_values.3.component": "not given",
			"set_values.4.component": "no channel CH4 IR", "set_values.5.component": "more than once", "set_values.5.set_value": "no unit", "set_values.7.component": "more than once", "set_values.7.set_value": "is nothing"}},
	{"set values of no model", "instruments", `{"code":"x","set_values":[{"component":"CO","set_value":"100 ppm"}]}`, problem.Invalid, map[string]string{"model": "not given"}},
	{"days to come", "instruments", `{"code":"x","set_values_confirmed_on":"2027-03-04","changed_on":"2028-01-01","filter_due_on":"2027-02-30"}`, problem.Invalid,
		map[string]string{"set_values_confirmed_on": "4 Mar 2027 is still to come", "changed_on": "still to come", "filter_due_on": "no day 30"}},

	{"an adapter of nothing", "regulators", `{"code":"x","inlet":"C-10","max_pressure":"103 bar","mode":"demand","adapter":{}}`, problem.Invalid,
		map[string]string{"adapter.from": "not given", "adapter.to": "not given", "adapter.max_pressure": "not given"}},
	{"an adapter that nobody sells", "regulators", `{"code":"x","inlet":"C-10","max_pressure":"103 bar","mode":"demand","adapter":{"from":"CGA 660","to":"C-10","max_pressure":"0 bar"}}`, problem.Invalid,
		map[string]string{"adapter.from": "no supplier-made adapter for CGA 660", "adapter.max_pressure": "is nothing"}},
	{"an adapter to nowhere", "regulators", `{"code":"x","inlet":"C-10","max_pressure":"103 bar","mode":"demand","adapter":{"from":"C10","to":"600","max_pressure":"69 bar"}}`, problem.Invalid,
		map[string]string{"adapter.to": "ends in CGA 600 and the regulator takes CGA C-10"}},
	{"an adapter of one end", "regulators", `{"code":"x","inlet":"C-10","max_pressure":"103 bar","mode":"demand","due_after_uses":0,"adapter":{"from":"C10","to":"C-10","max_pressure":"69 bar"}}`, problem.Invalid,
		map[string]string{"adapter.to": "same outlet on both ends", "due_after_uses": "0 uses"}},
	{"a cap of nothing", "caps", `{"models":["M5","M4","M4",""],"check_due_on":"soon","due_after_uses":-1,"place":"NOWHERE"}`, problem.Invalid,
		map[string]string{"code": "not given", "models.0": `no model "M5"`, "models.2": "more than once", "models.3": "not given", "check_due_on": "not a date", "due_after_uses": "-1 uses", "place": "no place"}},
	{"tubing after no use", "tubings", `{"code":"x","material":"FEP","length":"1 m","due_after_uses":200000}`, problem.Invalid, map[string]string{"due_after_uses": "200000 uses"}},
	{"consumables", "procedures", `{"code":"x","purpose":"bump","flow":"1 L/min","duration":"1 min","step":0,"consumables":[{"item":"ZA","count":1},{"item":"FILTER","count":0},{"item":"FILTER","count":1},{"item":"CAP"},{"count":2000}]}`, problem.Invalid,
		map[string]string{"step": "0 is out of range", "consumables.0.item": "ZA is gas", "consumables.1.count": "0 a test", "consumables.2.item": "more than once", "consumables.3.item": `no item "CAP"`, "consumables.3.count": "0 a test",
			"consumables.4.item": "not given", "consumables.4.count": "2000 a test"}},
	{"numbers of trade", "items", `{"code":"x","kind":"cap","sources":[{"supplier":"northbank","gtin":"9521234543214"}]}`, problem.Invalid, map[string]string{"sources.0.gtin": "does not fit the others"}},
	{"too few digits", "items", `{"code":"x","kind":"cap","sources":[{"supplier":"northbank","gtin":"952123454321"}]}`, problem.Invalid, map[string]string{"sources.0.gtin": "does not fit the others"}},
	{"no digits", "items", `{"code":"x","kind":"cap","sources":[{"supplier":"northbank","gtin":"952123454321X"}]}`, problem.Invalid, map[string]string{"sources.0.gtin": "not a GTIN"}},
	{"another length", "items", `{"code":"x","kind":"cap","sources":[{"supplier":"northbank","gtin":"95212345"}]}`, problem.Invalid, map[string]string{"sources.0.gtin": "does not fit the others"}},
}
