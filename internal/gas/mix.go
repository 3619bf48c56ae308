package gas

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"spanroom/internal/problem"
)

// Mix is what a cylinder holds, formula to amount fraction. "air" stands for nitrogen, oxygen and argon in their
// usual shares, so that a certificate's "balance air" can be given as it is written.
type Mix map[string]float64

const (
	sumTolerance = 1e-3 // certificates round their fractions
	traceLimit   = 1e-3 // up to here a component without critical constants counts as balance gas
	longestName  = 40
)

var air = Mix{"N2": 0.7812, "O2": 0.2096, "Ar": 0.0092}

// Check tells what is wrong with the fractions, each under its component's name.
func (m Mix) Check() error {
	if len(m) == 0 {
		return invalid("give each component with its fraction", "there is no component")
	}
	var wrong problem.Fields
	for _, name := range slices.Sorted(maps.Keys(m)) {
		if name == "" || len(name) > longestName {
			wrong.Add("", fmt.Sprintf("%.*q is not a component", longestName, name), "write the formula, such as CH4")
			continue
		}
		fractions.check(&wrong, name, m[name])
	}
	if err := wrong.Err(); err != nil {
		return err
	}
	if sum := m.sum(); math.Abs(sum-1) > sumTolerance {
		return invalid("complete the balance gas so that all fractions make 1", "the fractions add up to %.6g, not to 1", sum)
	}
	return nil
}

// Normal gives the mix with air written out, nothing at zero, and a sum of exactly one.
func (m Mix) Normal() (Mix, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	sum := m.sum()
	normal := Mix{}
	for _, name := range slices.Sorted(maps.Keys(m)) {
		share := m[name] / sum
		switch {
		case share == 0:
		case name == "air":
			for part, fraction := range air {
				normal[part] += share * fraction
			}
		default:
			normal[name] += share
		}
	}
	return normal, nil
}

// sum adds in the order of names, so that the same mix always gives the same last digit.
func (m Mix) sum() float64 {
	var sum float64
	for _, name := range slices.Sorted(maps.Keys(m)) {
		sum += m[name]
	}
	return sum
}
