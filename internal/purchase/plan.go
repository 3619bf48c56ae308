package purchase

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"spanroom/internal/reorder"
	"spanroom/internal/unit"
	"spanroom/models"
)

// notes are what every plan must say of itself.
var notes = []string{
	"Open orders are not known here yet: what is on order counts as none, so look at your open orders before you order.",
	"The reorder level is a normal approximation of use and lead time, until the exact planner comes.",
}

// plan plans every item.
func (k *known) plan() PlanAnswer {
	s := k.settings
	answer := PlanAnswer{
		Snapshot: k.snapshot(), AsOf: k.at.String(), Today: k.today, Site: s.SiteName, Zone: s.Zone, SettingsVersion: s.Version,
		Policy: Policy{
			Service: s.Service, ReviewDays: int(s.ReviewDays), ReserveDays: int(s.ReserveDays), RetryPct: s.RetryPct,
			HistoryWeeks: int(s.HistoryWeeks), OutLateDays: int(s.OutLateDays),
			ExcludeCertificateMissing: s.ExcludeCertificateMissing, Reference: s.Reference,
		},
		Lines: []Line{},
	}
	o, unclear := k.outline()
	for _, item := range k.items {
		if line, there := k.line(item, o); there {
			answer.Lines = append(answer.Lines, line)
		}
	}
	joinShipments(answer.Lines, int(s.JointShipmentDays))
	slices.SortStableFunc(answer.Lines, byUrgency)
	answer.Totals = totals(answer.Lines)
	answer.Notes = slices.Concat(notes, unclear)
	return answer
}

// snapshot names the state of everything: all changes go through the ledger.
func (k *known) snapshot() string {
	id := fmt.Sprintf("%s-%d", strings.ReplaceAll(string(k.today), "-", ""), k.head.Seq)
	if len(k.head.Hash) >= 8 {
		id += "-" + k.head.Hash[:8]
	}
	return id
}

// outline finds for each scheduled blend the item that carries its use: one that can be ordered before one that cannot, then
// the one with the most usable gas, then by code.
func (k *known) outline() (outline, []string) {
	schedule, unclear := k.scheduled()
	o := outline{schedule: schedule, carrier: map[int64]models.Item{}, usable: map[int64]float64{}}
	for _, item := range k.items {
		if item.BlendID == nil || schedule[*item.BlendID] == nil {
			continue
		}
		full, _ := k.full(item)
		for _, l := range k.onHand(item, full) {
			if l.Held == "" && (l.ExpiresOn == "" || l.ExpiresOn >= k.today) {
				o.usable[item.ID] += l.Units * full
			}
		}
		best, known := o.carrier[*item.BlendID]
		if !known || k.before(item, best, o.usable) {
			o.carrier[*item.BlendID] = item
		}
	}
	for _, blend := range slices.Sorted(maps.Keys(schedule)) {
		if _, there := o.carrier[blend]; !there {
			unclear = append(unclear, fmt.Sprintf("No item is filled with %s, so what the rounds take of it is not planned.", strings.Join(k.mixtures[blend].words, ", ")))
		}
	}
	return o, unclear
}

// before tells whether an item carries a blend rather than one whose code comes earlier.
func (k *known) before(item, earlier models.Item, usable map[int64]float64) bool {
	if a, b := len(k.sources[item.ID]) > 0, len(k.sources[earlier.ID]) > 0; a != b {
		return a
	}
	return usable[item.ID] > usable[earlier.ID]
}

// byUrgency puts what a person must decide first, then the days of the orders, then what needs none.
func byUrgency(a, b Line) int {
	first := func(l Line) int {
		if l.State == reorder.ToDecide {
			return 0
		}
		return 1
	}
	day := func(l Line) unit.Date {
		if l.OrderBy == "" {
			return "9999"
		}
		return l.OrderBy
	}
	return cmp.Or(cmp.Compare(first(a), first(b)), cmp.Compare(day(a), day(b)), cmp.Compare(a.Item, b.Item))
}

// totals sums up by currency. A line without a price adds nothing.
func totals(lines []Line) []Total {
	byCurrency := map[string]*Total{}
	for _, l := range lines {
		if l.Source == nil || l.Source.Price.Currency == "" {
			continue
		}
		c := l.Source.Price.Currency
		if byCurrency[c] == nil {
			zero := unit.Money{Currency: c}
			byCurrency[c] = &Total{Currency: c, Cost: zero, ExpectedWaste: zero}
		}
		t := byCurrency[c]
		if l.Proposed > 0 {
			t.Lines++
		}
		t.Cost.Minor += l.Cost.Minor
		t.ExpectedWaste.Minor += l.ExpectedWaste.Money.Minor
	}
	out := make([]Total, 0, len(byCurrency))
	for _, c := range slices.Sorted(maps.Keys(byCurrency)) {
		out = append(out, *byCurrency[c])
	}
	return out
}
