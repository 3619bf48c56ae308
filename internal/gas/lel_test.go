package gas

import (
	"maps"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func ptr[T any](v T) *T { return &v }

func TestLowerLimitByNameAndFormula(t *testing.T) {
	for _, c := range []struct {
		gas   string
		basis Basis
		want  float64
		known bool
	}{
		{"methane", IEC2010, 4.4, true}, {"CH4", NFPA2008, 5, true}, {" Methane ", NFPA2008, 5, true}, {"nC5H12", IEC2010, 1.1, true},
		{"CO", NFPA2008, 12.5, true}, {"NH3", IEC2010, 15, true}, {"iC4H8", IEC2010, 1.6, true},
		{"iC4H8", NFPA2008, 0, false}, {"methane", "", 0, false}, {"methane", "EN 61779", 0, false}, {"ch4", IEC2010, 0, false},
		{"Co", IEC2010, 0, false}, {"pentane", IEC2010, 0, false}, {"N2", IEC2010, 0, false}, {"", IEC2010, 0, false},
	} {
		if got, known := LowerLimit(c.gas, c.basis); got != c.want || known != c.known {
			t.Errorf("%q on %s: %v, %v", c.gas, c.basis, got, known)
		}
	}
}

// Every formula leads to a row, and what burns in the table of critical constants has one.
func TestFormulasMeetTheTables(t *testing.T) {
	for formula, name := range gasNames {
		if _, ok := LowerLimit(formula, IEC2010); !ok {
			t.Errorf("%s: there is no row %q", formula, name)
		}
	}
	without := []string{"Ar", "CO2", "COS", "Cl2", "H2O", "HCl", "He", "Kr", "N2", "N2O", "NO", "NO2", "Ne", "O2", "PH3", "SF6", "SO2", "Xe"}
	for _, component := range slices.Sorted(maps.Keys(virial().Critical)) {
		if burns := len(basesOf(component)) > 0; burns == slices.Contains(without, component) {
			t.Errorf("%s: has a lower limit: %v", component, burns)
		}
	}
}

// The table as a whole: a limit is a small share of the air, and each basis is used.
func TestLimitsAreLimits(t *testing.T) {
	counts := map[Basis]int{}
	for name, limits := range lowerLimits().limits {
		for basis, limit := range limits {
			counts[basis]++
			if !(limit > 0.5 && limit < 20) {
				t.Errorf("%s on %s: %v %%vol", name, basis, limit)
			}
		}
	}
	if len(counts) != len(Bases()) || counts[IEC2010] < counts[NFPA2008] || counts[NFPA2008] == 0 {
		t.Errorf("limits by basis: %v", counts)
	}
}

func TestConversionsGoThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gas := rapid.SampledFrom(slices.Sorted(maps.Keys(gasNames))).Draw(t, "gas")
		vol := rapid.Float64Range(0, 100).Draw(t, "vol")
		basis := rapid.SampledFrom(basesOf(gas)).Draw(t, "basis")
		toLEL, err := CalcLEL(LELQuestion{Kind: "to_lel", Gas: gas, VolPct: &vol, Basis: basis})
		if err != nil || toLEL.Refused {
			t.Fatal(toLEL, err)
		}
		toVol, err := CalcLEL(LELQuestion{Kind: "to_vol", Gas: gas, LELPct: toLEL.LELPct, Basis: basis})
		if err != nil || toVol.Refused || math.Abs(*toVol.VolPct-vol) > 1e-9 {
			t.Fatalf("%v %%vol comes back as %+v, %v", vol, toVol, err)
		}
	})
}

func TestBasesGoThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gas := rapid.SampledFrom(slices.Sorted(maps.Keys(gasNames))).
			Filter(func(gas string) bool { return len(basesOf(gas)) == 2 }).Draw(t, "gas")
		lel := rapid.Float64Range(0, 600).Draw(t, "lel")
		there, err := CalcLEL(LELQuestion{Kind: "change_basis", Gas: gas, LELPct: &lel, FromBasis: IEC2010, ToBasis: NFPA2008})
		if err != nil || there.Refused {
			t.Fatal(there, err)
		}
		back, err := CalcLEL(LELQuestion{Kind: "change_basis", Gas: gas, VolPct: there.VolPct, FromBasis: NFPA2008, ToBasis: IEC2010})
		if err != nil || math.Abs(*back.ToLELPct-lel) > 1e-9 || math.Abs(*back.FromLELPct-*there.ToLELPct) > 1e-9 {
			t.Fatalf("%v %%LEL comes back as %+v, %v", lel, back, err)
		}
	})
}

func TestIsomersAreNamed(t *testing.T) {
	for gas, want := range map[string][]string{
		"pentane": {"isopentane", "n-pentane"}, "Butane": {"isobutane", "n-butane"}, "hexane": {"cyclohexane", "n-hexane"},
		"butadiene": {"1,3-butadiene"}, "ane": nil, "": nil, "ether": nil,
	} {
		if got := isomers(gas); !slices.Equal(got, want) {
			t.Errorf("%q: %v, want %v", gas, got, want)
		}
	}
}
