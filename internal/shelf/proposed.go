package shelf

import (
	_ "embed"
	"encoding/json"
)

//go:embed tables/shelf_life.json
var shelfLife []byte

// Proposed gives the table that a new site starts from, by component. It is a proposal to review: say so where it is shown.
// Opened caps are empty until the site sets them.
func Proposed() map[string]Limit {
	var table struct {
		Rows map[string]struct {
			Cap      *int `json:"cap_months"`
			Fallback *int `json:"fallback_months"`
		} `json:"rows"`
	}
	if err := json.Unmarshal(shelfLife, &table); err != nil {
		panic("shelf: the embedded table cannot be read: " + err.Error())
	}
	limits := make(map[string]Limit, len(table.Rows))
	for component, row := range table.Rows {
		limits[component] = Limit{CapMonths: row.Cap, FallbackMonths: row.Fallback}
	}
	return limits
}
