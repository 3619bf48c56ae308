package catalogue_test

import (
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// propaneOn is a catalytic monitor spanned with propane.
func propaneOn(shown, reading string, factor float64) *catalogue.Model {
	return &catalogue.Model{Code: "C1", Channels: []catalogue.Channel{{
		Component: "C3H8", Name: "LEL", SetValue: "57.5 %LEL", LowAlarm: "10 %LEL", Range: "100 %LEL", Sensor: "catalytic",
		LEL: "1.7 %vol", LELBasis: "IEC60079-20-1:2010", ShownGas: shown, Factor: &factor, FactorReading: reading,
	}}}
}

// A factor taken the wrong way round shows nowhere, so it is worked out before it is kept.
func TestAFactorIsHeldAgainstTheManual(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	photo := propaneOn("iC4H8", "true_reading", 0.53)
	photo.Channels[0].Component, photo.Channels[0].Name, photo.Channels[0].Sensor = "C7H8", "PID", "photoionisation"
	photo.Channels[0].SetValue, photo.Channels[0].LowAlarm, photo.Channels[0].Range, photo.Channels[0].LEL = "53 ppm", "5 ppm", "1000 ppm", ""
	for says, model := range map[string]*catalogue.Model{
		"50 %LEL propane must show 57.5 on this n-hexane scale: compare it with the manual": propaneOn("nC6H14", "multiplier", 1.15),
		"50 %LEL propane must show 43.5 on this n-hexane scale: compare it with the manual": propaneOn("nC6H14", "relative_response", 1.15),
		"100 ppm toluene must show 53 ppm on this isobutylene scale: compare it":            photo,
	} {
		_, err := r.Make(t.Context(), ada, model)
		e := problemOf(t, err)
		if e.Kind != problem.Refused || len(e.Findings) != 1 || len(e.Fields) != 1 || e.Fields[0].Name != "reasons.R19" {
			t.Fatalf("%+v", e)
		}
		if f := e.Findings[0]; f.Rule != "R19" || f.Severity != problem.Ask || f.Subject != model.Channels[0].Name || !strings.HasPrefix(f.Text, says) || f.Advice == "" {
			t.Errorf("%+v, want %q", f, says)
		}
	}
	if _, err := r.Get(t.Context(), nounAt(t, "models"), "C1"); problem.KindOf(err) != problem.Missing {
		t.Errorf("it was kept: %v", err)
	}
}

// One reason answers for all factors of a model, but not for those that come after it.
func TestAReasonIsForTheFactorThatItWasGivenFor(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		r := newRoom(t, s)
		confirmed := func(m *catalogue.Model, reason string) *catalogue.Model {
			m.Reasons = map[string]string{"R19": reason}
			return m
		}
		made(t, r, confirmed(propaneOn("nC6H14", "multiplier", 1.15), " manual, revision 6, page 40 "))
		again := changed(t, r, "C1", confirmed(propaneOn("nC6H14", "multiplier", 1.15), "manual, revision 6, page 40"))
		if m := again.(*catalogue.Model); m.Reasons["R19"] != "manual, revision 6, page 40" || m.Version != 2 {
			t.Errorf("%+v", m)
		}
		for _, other := range []*catalogue.Model{
			propaneOn("nC6H14", "multiplier", 1.2), propaneOn("nC6H14", "relative_response", 1.15), propaneOn("nC5H12", "multiplier", 1.15),
		} {
			_, err := r.Change(t.Context(), ada, "C1", confirmed(other, "manual, revision 6, page 40"))
			if problem.KindOf(err) != problem.Refused {
				t.Errorf("%s: %v", asJSON(t, other), err)
			}
			other.Version = 0
			if _, err := r.Change(t.Context(), ada, "C1", confirmed(other, "")); problem.KindOf(err) != problem.Refused {
				t.Errorf("%s: %v", asJSON(t, other), err)
			}
		}
		changed(t, r, "C1", confirmed(propaneOn("nC6H14", "multiplier", 1.2), "manual, revision 7, page 42"))
		entries, err := s.EntriesOf(t.Context(), "catalogue:model:C1", 1)
		if err != nil || entries[0].Reason != "R19: manual, revision 7, page 42" {
			t.Errorf("%+v, %v", entries, err)
		}
		none := confirmed(propaneOn("", "", 0), "manual, revision 7, page 42")
		none.Channels[0].Factor = nil
		changed(t, r, "C1", none)
	})
}

// What may be left open is kept, and the check says that it is not known.
func TestModelsThatSayLittle(t *testing.T) {
	r := newRoom(t, storetest.New(t))
	for _, text := range []string{
		`{"code":"A"}`,
		`{"code":"B","channels":[{"component":"CH4","set_value":"50 %LEL","low_alarm":"10 %LEL"}]}`,
		`{"code":"C","channels":[{"component":"C3H8","set_value":"2.2 %vol","range":"100 %LEL","shown_gas":"nC6H14","lel":"2.1 %vol"}]}`,
		`{"code":"D","channels":[{"component":"CH4","name":"LEL"},{"component":"CH4","name":"IR"},{"component":"CH4"}],"flow_max":"1 L/min"}`,
		`{"code":"E","channels":[{"component":"CH4","set_value":"4.4 %vol","low_alarm":"0.5 %vol","high_alarm":"20 %LEL","range":"100 %LEL","lel":"4.4 %vol","lel_basis":""}]}`,
		`{"code":"F","channels":[{"component":"O2","set_value":"18 %vol","low_alarm":"19.5 %vol","high_alarm":"23.5 %vol"}]}`,
	} {
		m := made(t, r, orderOf(t, "models", text)).(*catalogue.Model)
		for _, ch := range m.Channels {
			if ch.Formula != ch.Component || ch.LELBasis != "" {
				t.Errorf("%+v", ch)
			}
		}
	}
}
