package gas

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"spanroom/internal/problem"
)

// Fuel is a mixture that may burn, for its lower limit in air by ISO 10156: the lower limit of each flammable component as a
// fraction, and K of each inert one, which tells how well it quenches a flame against nitrogen. Nitrogen itself has 1, and so has
// air, which is there already; for every other component one of the two must be given.
type Fuel struct {
	Mix    Mix
	Limits map[string]*float64
	K      map[string]*float64
}

// FuelLimit is the fraction of a mixture in air from which it burns; above 1 it has no limit in air. Where the inert gases lower a
// component's own limit to less than half, the formula is stretched and its answer only a hint.
type FuelLimit struct {
	Fraction  float64
	Stretched bool
}

// knownK needs no table.
var knownK = map[string]float64{"N2": 1, "air": 1}

var ks = span{0, 20, ""}

// Check tells what is wrong with a fuel, under the names of its parts.
func (f Fuel) Check() error {
	var wrong problem.Fields
	wrong.Take("composition", f.Mix.Check())
	for _, name := range slices.Sorted(maps.Keys(f.Limits)) {
		if limit := f.Limits[name]; limit != nil && !(*limit > 0 && *limit < 1) {
			wrong.Add("lfl_fraction."+name, fmt.Sprintf("%g is not a lower limit", *limit), "give it as a fraction between 0 and 1, such as 0.044")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(f.K)) {
		if f.K[name] != nil {
			f.checkK(&wrong, name, *f.K[name])
		}
	}
	return wrong.Err()
}

func (f Fuel) checkK(wrong *problem.Fields, name string, k float64) {
	field := "inert_k." + name
	known, fixed := knownK[name]
	switch {
	case f.Limits[name] != nil || len(basesOf(name)) > 0:
		wrong.Add(field, "it burns, so it has no K", "give its lower limit under lfl_fraction instead")
	case fixed && k != known:
		wrong.Add(field, fmt.Sprintf("K of %s is %g", name, known), "leave it out")
	default:
		ks.check(wrong, field, k)
	}
}

// LowerLimit weighs the lower limits of the components (Le Chatelier), each corrected for inert gas that quenches more or less
// than nitrogen.
func (f Fuel) LowerLimit() (FuelLimit, error) {
	if err := f.Check(); err != nil {
		return FuelLimit{}, err
	}
	burning, lacking, err := f.parts()
	if err != nil {
		return FuelLimit{}, err
	}
	var sum float64
	stretched := false
	for _, name := range slices.Sorted(maps.Keys(f.Mix)) {
		fraction, limit := f.Mix[name], f.Limits[name]
		if limit == nil || fraction == 0 {
			continue
		}
		corrected := correctedLimit(*limit, lacking/burning)
		if !(corrected > 0) {
			return FuelLimit{}, outOfReach()
		}
		stretched = stretched || corrected < *limit/2
		sum += fraction / corrected
	}
	limit := FuelLimit{1 / sum, stretched}
	if !(limit.Fraction > 0) || math.IsInf(limit.Fraction, 0) {
		return FuelLimit{}, outOfReach()
	}
	return limit, nil
}

// correctedLimit is a component's lower limit beside inert gas that lacks so much nitrogen for each part of what burns.
func correctedLimit(limit, lacking float64) float64 {
	return limit * (1 - limit - lacking*limit) / (1 - limit)
}

// parts sums what burns, and how much nitrogen the inert gases lack that would quench as well as they should.
func (f Fuel) parts() (burning, lacking float64, err error) {
	var missing []string
	for _, name := range slices.Sorted(maps.Keys(f.Mix)) {
		fraction := f.Mix[name]
		k, known := knownK[name]
		if given := f.K[name]; given != nil {
			k, known = *given, true
		}
		switch {
		case fraction == 0:
		case f.Limits[name] != nil:
			burning += fraction
		case known:
			lacking += (1 - k) * fraction
		default:
			missing = append(missing, name)
		}
	}
	switch {
	case len(missing) > 0:
		return 0, 0, refusal("give the lower limit of what burns, and K by ISO 10156 of what is inert: neither is assumed",
			"neither a lower limit nor K is given for %s", strings.Join(missing, ", "))
	case burning == 0:
		return 0, 0, refusal("check the composition", "nothing in this mixture burns, so it has no lower limit")
	}
	return burning, lacking, nil
}

func outOfReach() error {
	return refusal("ask the gas supplier", "the formula does not reach this far: the mixture has too little that burns for its inert gas")
}
