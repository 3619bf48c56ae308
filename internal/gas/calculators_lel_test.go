package gas

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestLELRefusals(t *testing.T) {
	half := ptr(1.05)
	for _, c := range []struct {
		name           string
		question       LELQuestion
		reason, advice string
	}{
		{"no basis", LELQuestion{Kind: "to_lel", Gas: "methane", VolPct: half}, "without its basis", "manual"},
		{"no first basis", LELQuestion{Kind: "change_basis", Gas: "methane", VolPct: half, ToBasis: IEC2010}, "without its basis", "manual"},
		{"no row", LELQuestion{Kind: "to_vol", Gas: "SiH4", LELPct: half, Basis: IEC2010}, "no lower limit for SiH4", "supplier"},
		{"no isomer", LELQuestion{Kind: "to_lel", Gas: "pentane", VolPct: half, Basis: IEC2010}, "no lower limit for pentane", "isopentane, n-pentane"},
		{"not on this basis", LELQuestion{Kind: "to_lel", Gas: "isobutylene", VolPct: half, Basis: NFPA2008}, "NFPA497:2008 has no lower limit for isobutylene", "IEC60079-20-1:2010"},
		{"not on the new basis", LELQuestion{Kind: "change_basis", Gas: "1-butene", VolPct: half, FromBasis: IEC2010, ToBasis: NFPA2008}, "for 1-butene", "IEC60079-20-1:2010"},
		{"no factor", LELQuestion{Kind: "surrogate", Target: "toluene", Surrogate: "propane", SurrogateVolPct: half, Basis: NFPA2008}, "without a factor", "manual"},
		{"no factor for the gas itself", LELQuestion{Kind: "surrogate", Target: "propane", Surrogate: "propane", SurrogateVolPct: half, Basis: NFPA2008}, "without a factor", "manual"},
		{"no limit of the surrogate", LELQuestion{Kind: "surrogate", Target: "toluene", Surrogate: "isobutylene", SurrogateVolPct: half, Factor: half, Basis: NFPA2008}, "for isobutylene", "IEC"},
		{"no limit of the target", LELQuestion{Kind: "surrogate", Target: "isobutylene", Surrogate: "propane", SurrogateVolPct: half, Factor: half, Basis: NFPA2008}, "for isobutylene", "IEC"},
	} {
		a, err := CalcLEL(c.question)
		if err != nil || !a.Refused || !strings.Contains(a.Reason, c.reason) || !strings.Contains(a.Advice, c.advice) {
			t.Errorf("%s: %+v, %v", c.name, a.Refusal, err)
		}
		for _, value := range []*float64{a.LELPct, a.VolPct, a.FromLELPct, a.ToLELPct, a.SetValueLELPct} {
			if value != nil {
				t.Errorf("%s: refused, and yet it says %v", c.name, *value)
			}
		}
		if a.Basis != c.question.Basis+c.question.ToBasis || a.Sentence != "" {
			t.Errorf("%s: basis %q, sentence %q", c.name, a.Basis, a.Sentence)
		}
	}
}

func TestLELNamesEveryWrongField(t *testing.T) {
	for _, c := range []struct {
		question LELQuestion
		fields   string
	}{
		{LELQuestion{}, "kind"},
		{LELQuestion{Kind: "to_ppm"}, "kind"},
		{LELQuestion{Kind: "to_lel", Basis: "EN"}, "gas basis vol_pct"},
		{LELQuestion{Kind: "to_lel", Gas: strings.Repeat("x", 41), VolPct: ptr(math.NaN()), Basis: IEC2010}, "gas vol_pct"},
		{LELQuestion{Kind: "to_lel", Gas: "pentane", VolPct: ptr(101.0), Basis: IEC2010}, "vol_pct"},
		{LELQuestion{Kind: "to_vol", Gas: "methane", Basis: IEC2010}, "lel_pct"},
		{LELQuestion{Kind: "to_vol", Gas: "methane", LELPct: ptr(2300.0), Basis: IEC2010}, "lel_pct"},
		{LELQuestion{Kind: "change_basis", FromBasis: "EN", ToBasis: "ISO"}, "gas from_basis to_basis vol_pct"},
		{LELQuestion{Kind: "change_basis", Gas: "methane", LELPct: ptr(-1.0), FromBasis: IEC2010, ToBasis: NFPA2008}, "lel_pct"},
		{LELQuestion{Kind: "surrogate", Basis: "EN"}, "surrogate basis target surrogate_vol_pct"},
		{LELQuestion{Kind: "surrogate", Target: "toluene", Surrogate: "propane", SurrogateVolPct: ptr(-1.0), Factor: ptr(0.0), Basis: IEC2010}, "surrogate_vol_pct factor"},
	} {
		t.Run(fmt.Sprint(c.question.Kind, " ", c.fields), func(t *testing.T) {
			_, err := CalcLEL(c.question)
			wantFields(t, err, strings.Fields(c.fields)...)
		})
	}
}

// An answer can be read aloud: with its basis, and what 100 %LEL is there.
func TestLELSentences(t *testing.T) {
	for _, c := range []struct {
		question LELQuestion
		want     string
	}{
		{LELQuestion{Kind: "to_lel", Gas: "CH4", VolPct: ptr(2.5), Basis: IEC2010},
			"2.5 %vol methane is 56.8 %LEL on IEC60079-20-1:2010, where 100 %LEL is 4.4 %vol"},
		{LELQuestion{Kind: "to_vol", Gas: "methane", LELPct: ptr(50.0), Basis: NFPA2008},
			"2.5 %vol methane is 50 %LEL on NFPA497:2008, where 100 %LEL is 5 %vol"},
		{LELQuestion{Kind: "change_basis", Gas: "propane", VolPct: ptr(0.85), FromBasis: IEC2010, ToBasis: NFPA2008},
			"0.85 %vol propane is 50 %LEL on IEC60079-20-1:2010 (100 %LEL is 1.7 %vol) and 40.5 %LEL on NFPA497:2008 (2.1 %vol)"},
		{LELQuestion{Kind: "surrogate", Target: "nC6H14", Surrogate: "propane", SurrogateVolPct: ptr(1.05), Factor: ptr(1.15), Basis: NFPA2008},
			"50 %LEL propane must show 57.5 on the n-hexane scale, both on NFPA497:2008"},
		{LELQuestion{Kind: "surrogate", Target: "nC6H14", Surrogate: "propane", SurrogateVolPct: ptr(2.1), Factor: ptr(1.15), Basis: NFPA2008},
			"100 %LEL propane must show 115 on the n-hexane scale, both on NFPA497:2008; more than 100 %LEL is above the range of most channels"},
	} {
		a, err := CalcLEL(c.question)
		if err != nil || a.Sentence != c.want || !strings.Contains(a.Source, "not checked against the paid standards") {
			t.Errorf("%q from %q, %v; want %q", a.Sentence, a.Source, err, c.want)
		}
	}
}
