package gas

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed tables/lel.json
var limitsJSON []byte

// Basis names the standard whose lower limits stand for 100 %LEL. The same gas is another %LEL on another basis.
type Basis string

// The bases of the table.
const (
	IEC2010  Basis = "IEC60079-20-1:2010"
	NFPA2008 Basis = "NFPA497:2008"
)

// Bases lists the bases of the table.
func Bases() []Basis { return []Basis{IEC2010, NFPA2008} }

// limitTable holds lower limits in %vol, by gas and basis.
type limitTable struct {
	source string
	limits map[string]map[Basis]float64
}

var lowerLimits = sync.OnceValue(func() limitTable {
	file := parse[struct {
		Source string `json:"source"`
		Rows   []struct {
			Name   string             `json:"name"`
			Limits map[Basis]*float64 `json:"LEL_volpct"`
		} `json:"rows"`
	}](limitsJSON, "lel")
	table := limitTable{file.Source, map[string]map[Basis]float64{}}
	for _, row := range file.Rows {
		table.limits[row.Name] = map[Basis]float64{}
		for basis, limit := range row.Limits {
			if limit != nil {
				table.limits[row.Name][basis] = *limit
			}
		}
	}
	return table
})

// gasNames are the gases of the table by the formulas that components have in the other tables, where these tell isomers apart.
var gasNames = map[string]string{
	"CH4": "methane", "C2H6": "ethane", "C3H8": "propane", "nC4H10": "n-butane", "iC4H10": "isobutane", "nC5H12": "n-pentane", "iC5H12": "isopentane",
	"nC6H14": "n-hexane", "nC7H16": "n-heptane", "nC8H18": "n-octane", "C2H2": "acetylene", "C2H4": "ethylene", "C3H6": "propylene", "iC4H8": "isobutylene",
	"H2": "hydrogen", "CO": "carbon monoxide", "H2S": "hydrogen sulfide", "NH3": "ammonia", "HCN": "hydrogen cyanide", "C2H4O": "ethylene oxide",
	"CH3OH": "methanol", "C2H5OH": "ethanol", "C3H6O": "acetone", "C6H6": "benzene", "C7H8": "toluene", "C8H8": "styrene",
	"C2H3Cl": "vinyl chloride", "CH3Cl": "methyl chloride", "C3H3N": "acrylonitrile",
}

// gasName gives the name by which the table knows a gas, or the text itself.
func gasName(gasOrFormula string) string {
	text := strings.TrimSpace(gasOrFormula)
	if name, ok := gasNames[text]; ok {
		return name
	}
	if name := strings.ToLower(text); lowerLimits().limits[name] != nil {
		return name
	}
	return text
}

// LowerLimit proposes the lower limit of a gas in %vol, by its name or formula. The figure of an instrument's own manual wins;
// false means that the basis has none.
func LowerLimit(gasOrFormula string, b Basis) (volPct float64, ok bool) {
	volPct, ok = lowerLimits().limits[gasName(gasOrFormula)][b]
	return volPct, ok
}

// isomers lists the gases of the table that a name without its prefix may mean: n-pentane and isopentane for pentane.
func isomers(gas string) []string {
	var found []string
	name := strings.ToLower(gas)
	for full := range lowerLimits().limits {
		if prefix, ok := strings.CutSuffix(full, name); ok && slices.Contains([]string{"n-", "iso", "1-", "2-", "1,3-", "cyclo"}, prefix) {
			found = append(found, full)
		}
	}
	slices.Sort(found)
	return found
}

// ToLEL turns %vol into %LEL of a gas with this lower limit.
func ToLEL(volPct, limitVolPct float64) float64 { return volPct / limitVolPct * 100 }

// ToVol turns %LEL of a gas with this lower limit into %vol.
func ToVol(lelPct, limitVolPct float64) float64 { return lelPct / 100 * limitVolPct }

// ChangeBasis turns %LEL of a gas from one of its lower limits to another.
func ChangeBasis(lelPct, fromVolPct, toVolPct float64) float64 {
	return ToLEL(ToVol(lelPct, fromVolPct), toVolPct)
}
