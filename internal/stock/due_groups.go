package stock

import (
	"cmp"
	"slices"
)

// DueGroup is what one gas, one procedure and one regulator may bring in order again: monitors that are not, in the order of the
// list. Pumped monitors want another regulator than those that gas reaches by itself, so none shares a group with them.
type DueGroup struct {
	Procedure   string
	Purpose     Purpose
	Blend       string // "" where any gas will do
	Sampling    string // diffusion, pumped, or "" where no model says it
	Instruments []string
}

// groupsOf puts together what is brought in order together, by procedure and way of sampling.
func groupsOf(rows []DueRow) []DueGroup {
	type together struct{ procedure, sampling string }
	at := map[together]int{}
	var groups []DueGroup
	for _, row := range rows {
		if row.State == InOrder {
			continue
		}
		key := together{row.Procedure, row.sampling}
		i, there := at[key]
		if !there {
			i = len(groups)
			at[key] = i
			groups = append(groups, DueGroup{Procedure: row.Procedure, Purpose: row.Purpose, Blend: row.blend, Sampling: row.sampling})
		}
		groups[i].Instruments = append(groups[i].Instruments, row.Instrument)
	}
	slices.SortFunc(groups, func(a, b DueGroup) int {
		return cmp.Or(cmp.Compare(a.Procedure, b.Procedure), cmp.Compare(a.Sampling, b.Sampling))
	})
	return groups
}
