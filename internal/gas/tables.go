package gas

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"strconv"
	"sync"
)

//go:embed tables/virial_params.json
var virialJSON []byte

//go:embed tables/saturation.json
var saturationJSON []byte

// critical holds what the correlations need of a component.
type critical struct {
	Kelvin  float64 `json:"Tc"`
	Bar     float64 `json:"Pc_bar"`
	Omega   float64 `json:"omega"`
	CubicCM float64 `json:"Vc_cm3"`
}

// litres is the critical volume in L/mol.
func (c critical) litres() float64 { return c.CubicCM / 1000 }

// factor is the real-gas factor at the critical point.
func (c critical) factor() float64 { return c.Bar * c.litres() / (gasConstant * c.Kelvin) }

// fit holds the polynomials of B (four terms) and C (three) in 300 K / T for a component with fitted numbers.
type fit [7]float64

type virialTable struct {
	Fits     map[string]fit      `json:"params"`
	Pairs    map[string]float64  `json:"kij"`
	Critical map[string]critical `json:"critical"`
}

// pairNumber is the fitted interaction of an unlike pair, written either way round.
func (t virialTable) pairNumber(a, b string) (float64, bool) {
	if k, ok := t.Pairs[a+"-"+b]; ok {
		return k, true
	}
	k, ok := t.Pairs[b+"-"+a]
	return k, ok
}

// vapourPoint is one row of the saturation line in the coordinates in which that line is nearly straight.
type vapourPoint struct{ inverseKelvin, logBar float64 }

// vapourLine is the saturation line of one component from cold to warm, up to its critical temperature.
type vapourLine struct {
	critical float64
	points   []vapourPoint
}

var virial = sync.OnceValue(func() virialTable { return parse[virialTable](virialJSON, "virial_params") })

var vapourLines = sync.OnceValue(func() map[string]vapourLine {
	type row struct {
		Critical float64            `json:"Tc_K"`
		Bar      map[string]float64 `json:"psat_bar"`
	}
	lines := map[string]vapourLine{}
	for component, r := range parse[map[string]row](saturationJSON, "saturation") {
		lines[component] = vapourLine{critical: r.Critical, points: pointsOf(r.Bar)}
	}
	return lines
})

func pointsOf(barAt map[string]float64) []vapourPoint {
	points := make([]vapourPoint, 0, len(barAt))
	for celsius, bar := range barAt {
		t, err := strconv.ParseFloat(celsius, 64)
		if err != nil {
			panic(fmt.Sprintf("gas: the embedded table saturation has a temperature %q", celsius))
		}
		points = append(points, vapourPoint{1 / (t + celsiusZero), math.Log(bar)})
	}
	sort.Slice(points, func(i, j int) bool { return points[i].inverseKelvin > points[j].inverseKelvin })
	return points
}

// parse reads an embedded table; a broken one is a fault of the build, not of a caller.
func parse[T any](data []byte, name string) T {
	var table T
	if err := json.Unmarshal(data, &table); err != nil {
		panic(fmt.Sprintf("gas: the embedded table %s does not parse: %v", name, err))
	}
	return table
}
