package stock

import (
	"fmt"
	"strings"
)

// words says what the gas is for: "14 bumps and 2 calibrations".
func (n need) words() string {
	counts, order := map[Purpose]int64{}, []Purpose{}
	for _, t := range n.tests {
		p := Purpose(t.Purpose)
		if counts[p] == 0 {
			order = append(order, p)
		}
		counts[p] += t.Count
	}
	if len(order) == 0 {
		return n.purpose.word()
	}
	parts := make([]string, len(order))
	for i, p := range order {
		parts[i] = fmt.Sprintf("%d %s", counts[p], p.word())
		if counts[p] == 1 {
			parts[i] = strings.TrimSuffix(parts[i], "s")
		}
	}
	return strings.Join(parts, " and ")
}
