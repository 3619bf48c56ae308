package handlers

import (
	"testing"

	"spanroom/internal/auth"
)

// The trade's refusals are answers, in the words of the description; what is wrong with a question is not.
func TestLowerLimitCalculators(t *testing.T) {
	h := newHouse(t, "2026-11-24T09:00:00Z")
	for _, c := range []struct {
		path, body, value string
		want              any
	}{
		{"/calc/lel", `{"kind":"to_lel","gas":"CH4","vol_pct":2.2,"basis":"IEC60079-20-1:2010"}`, "lel_pct", 50.0},
		{"/calc/lel", `{"kind":"to_vol","gas":"methane","lel_pct":50,"basis":"NFPA497:2008"}`, "vol_pct", 2.5},
		{"/calc/lel", `{"kind":"change_basis","gas":"methane","lel_pct":50,"from_basis":"NFPA497:2008","to_basis":"NFPA497:2008"}`, "to_lel_pct", 50.0},
		{"/calc/lel", `{"kind":"to_lel","gas":"methane","vol_pct":2.2,"basis":null}`, "refused", true},
		{"/calc/lel", `{"kind":"change_basis","gas":"iC4H8","vol_pct":0.8,"from_basis":"IEC60079-20-1:2010","to_basis":"NFPA497:2008"}`, "refused", true},
		{"/calc/lel", `{"kind":"surrogate","target":"toluene","surrogate":"propane","surrogate_vol_pct":1.05,"factor":null,"basis":"NFPA497:2008"}`, "refused", true},
		{"/calc/lfl", `{"composition":{"H2":0.02,"N2":0.98},"lfl_fraction":{"H2":0.04}}`, "limit_in_air", false},
		{"/calc/lfl", `{"composition":{"H2":0.02,"CO2":0.98},"lfl_fraction":{"H2":0.04},"inert_k":{"CO2":null}}`, "refused", true},
		{"/calc/lfl", `{"composition":{"H2":1}}`, "refused", true},
	} {
		if answer := h.must(auth.Technician, "POST", c.path, c.body); answer[c.value] != c.want {
			t.Errorf("%s %s: %v", c.path, c.body, answer)
		}
	}
	for path, body := range map[string]string{
		"/calc/lel": `{"kind":"to_ppm","gas":"methane","vol_pct":2.2,"basis":"NFPA497:2008"}`,
		"/calc/lfl": `{"composition":{"H2":0.5},"lfl_fraction":{"H2":0.04}}`,
	} {
		if r := h.call(auth.Technician, "POST", path, body); r.Status != 422 {
			t.Errorf("%s %s: %d %s", path, body, r.Status, r.Text)
		}
	}
}
