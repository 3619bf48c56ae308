package stock

import (
	"fmt"
	"strings"
	"testing"
)

func TestReadinessByPurpose(t *testing.T) { // R60
	v := shelfOf()
	good := bottle("2222-222A", q4Lot("2027-05-14"))
	six, nine := int64(6), int64(9)
	undated := clLot("")
	undated.FilledOn, undated.parts[0].FallbackMonths, undated.parts[1].FallbackMonths = "2026-11-01", &six, &nine
	pure := nitrogen
	pure.Amount = wholeGas
	air := lotWith(9, "2027-05-14", "Z", pure)
	for name, c := range map[string]struct {
		of    cylinder
		state string
		want  string
		why   string // of the last purpose
	}{
		"nothing against it":     {good, Usable, "[bump usable, line usable, check usable, calibration usable]", ""},
		"S96 no supplier's date": {bottle("3333-333B", undated), Limited, "[bump usable, line usable, check do_not_use, calibration do_not_use]", "no supplier's date"},
		"S98 Q4 of 41 bar":       {good.opened(41, ""), Limited, "[bump usable, line usable, check limited, calibration limited]", "nobody knows when it was opened"},
		"S98 CL the same":        {bottle("3333-333B", clLot("2027-12-01")).opened(41, ""), Limited, "[bump usable, line usable, check do_not_use, calibration do_not_use]", "bump tests only"},
		"no certificate":         {good.hold(CertificateMissing), Limited, "[bump limited, line limited, check do_not_use, calibration do_not_use]", "on hold: Certificate missing"},
		"recalled":               {good.hold(Recalled), DoNotUse, "[bump do_not_use, line do_not_use, check do_not_use, calibration do_not_use]", "on hold: Recall"},
		"with somebody":          {with(good, func(c *cylinder) { c.HolderID, c.holder = new(int64(7)), "A" }), Usable, "[bump usable, line usable, check usable, calibration usable]", ""},
		"zero gas":               {bottle("4444-444C", air), Usable, "[zero usable]", ""},
		"zero gas, recalled":     {bottle("4444-444C", air).hold(Recalled), DoNotUse, "[zero do_not_use]", "on hold: Recall"},
	} {
		r := v.readiness(c.of, v.today)
		var got []string
		for _, p := range r.ByPurpose {
			got = append(got, fmt.Sprintf("%s %s", p.Purpose, p.State))
			if (p.Why == "") != (p.State == Usable) {
				t.Errorf("%s: %+v", name, p)
			}
		}
		if all := "[" + strings.Join(got, ", ") + "]"; r.State != c.state || all != c.want {
			t.Errorf("%s: %s %s, want %s %s", name, r.State, all, c.state, c.want)
		}
		if why := r.ByPurpose[len(r.ByPurpose)-1].Why; !strings.Contains(why, c.why) {
			t.Errorf("%s: %q does not say %q", name, why, c.why)
		}
		if strings.Contains(say(r.Findings), "for calibration") && len(r.ByPurpose) == 1 {
			t.Errorf("%s: there is nothing to tell it from: %s", name, say(r.Findings))
		}
	}
}
