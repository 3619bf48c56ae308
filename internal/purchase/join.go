package purchase

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/reorder"
)

// joinShipments suggests to order together what comes from one supplier and falls due within some days (R50): a line that is
// due today is told of the others, as long as their least order would still be used in time.
func joinShipments(lines []Line, days int) {
	for i := range lines {
		l := &lines[i]
		if l.State != reorder.OrderNow || l.Source == nil {
			continue
		}
		for _, other := range lines {
			if other.joins(*l, days) {
				l.Findings = append(l.Findings, problem.Finding{
					Rule: "R50", Severity: problem.Note, Subject: l.Item,
					Text:   fmt.Sprintf("%s from %s falls due on %s", other.Item, other.Source.SupplierName, other.OrderBy.Words()),
					Advice: "order both in one shipment",
				})
			}
		}
	}
}

// joins tells whether a later order can come with one that is due today.
func (l Line) joins(due Line, days int) bool {
	if l.State != reorder.Later || l.Source == nil || l.Source.Supplier != due.Source.Supplier {
		return false
	}
	fits := l.QMax == nil || *l.QMax >= max(l.Source.MOQ, l.Source.Pack)
	return fits && due.OrderBy.DaysUntil(l.OrderBy) <= days
}
