package stock

import (
	"fmt"
	"slices"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
	"spanroom/models"
)

// identify finds the lot of a delivery among those of its supplier, or begins a new one (R2).
func (k known) identify(p *plan) []problem.Finding {
	d := &p.delivery
	at := slices.IndexFunc(k.lots, func(l models.Lot) bool { return l.LotKey == d.key })
	if at < 0 {
		p.lot = models.Lot{SupplierID: d.supplier.ID, BlendID: *d.item.BlendID, Lot: d.lot, LotKey: d.key, ReceivedAt: k.at,
			FilledOn: d.filledOn, AssayedOn: d.assayedOn, LabelExpiresOn: d.labelOn}
		p.adopts = d.paper != nil
		return k.alike(*d)
	}
	p.lot, p.joins = k.lots[at], true
	if p.lot.BlendID != *d.item.BlendID {
		return []problem.Finding{{
			Rule: "R2", Severity: problem.Stop, Subject: "lot " + p.lot.Lot,
			Text:   fmt.Sprintf("%s has delivered this lot as %s, and %s is filled with %s", d.supplier.Name, k.blends[p.lot.BlendID], d.item.Code, k.blends[*d.item.BlendID]),
			Advice: "compare the label with the certificate; one of the two is another lot, or another item",
		}}
	}
	found := []problem.Finding{{
		Rule: "R2", Severity: problem.Note, Subject: "lot " + p.lot.Lot, Text: "this lot is known: the cylinders join it",
		Advice: "its certificate and its dates hold for them too",
	}}
	found = append(found, k.standingHolds(p)...)
	found = append(found, mergeDates(&p.lot, *d)...)
	return append(found, k.secondPaper(p)...)
}

// alike asks about a lot that is easily mistaken for a known one of the same supplier.
func (k known) alike(d delivery) []problem.Finding {
	skeleton := unit.Skeleton(d.key)
	var found []problem.Finding
	for _, l := range k.lots {
		if skeleton != "" && unit.Skeleton(l.LotKey) == skeleton {
			found = append(found, problem.Finding{
				Rule: "R2", Severity: problem.Ask, Subject: "lot " + d.lot,
				Text:   fmt.Sprintf("%s has delivered a lot %s: the same lot?", d.supplier.Name, l.Lot),
				Advice: fmt.Sprintf("look at the label again: write %s where it is the same, or say why it is another", l.Lot),
			})
		}
	}
	return found
}

func (k known) standingHolds(p *plan) []problem.Finding {
	var found []problem.Finding
	for _, h := range k.standing {
		found = append(found, problem.Finding{
			Rule: "R27", Severity: problem.Note, Subject: "lot " + p.lot.Lot, Text: "the lot is on hold: " + h.Reason,
			Advice: "the hold is on these cylinders too until it is released",
		})
	}
	return found
}

// mergeDates adds to a known lot what it lacks. Where a second delivery says another date, the earlier counts.
func mergeDates(l *models.Lot, d delivery) []problem.Finding {
	var found []problem.Finding
	for _, date := range []struct {
		what string
		had  *unit.Date
		says unit.Date
	}{
		{"filled", &l.FilledOn, d.filledOn}, {"assayed", &l.AssayedOn, d.assayedOn}, {"label", &l.LabelExpiresOn, d.labelOn},
	} {
		if *date.had != "" && date.says != "" && *date.had != date.says {
			found = append(found, problem.Finding{
				Rule: "R2", Severity: problem.Ask, Subject: "lot " + l.Lot,
				Text:   fmt.Sprintf("%s: %s is kept of this lot, %s is entered now", date.what, date.had.Words(), date.says.Words()),
				Advice: fmt.Sprintf("compare both labels; the earlier, %s, counts", min(*date.had, date.says).Words()),
			})
		}
		*date.had = unit.EarlierOf(*date.had, date.says)
	}
	return found
}

// secondPaper says what becomes of a document that comes with a lot which is known already: it becomes the lot's where the
// lot has none; the lot's own under its number changes nothing; another one is of these cylinders alone.
func (k known) secondPaper(p *plan) []problem.Finding {
	d := &p.delivery
	note := problem.Finding{Rule: "R5c", Severity: problem.Note, Subject: "certificate"}
	switch {
	case d.paper == nil:
		return nil
	case k.document == nil:
		p.adopts = true
		note.Text, note.Advice = "the lot had no certificate; this one is for all of its cylinders", "release the hold for the missing certificate with it"
	case unit.Fold(k.document.Number) == unit.Fold(d.paper.Number):
		d.paper = nil
		note.Text, note.Advice = "this certificate is kept for the lot already", "its values stay as they were entered first"
	default:
		d.cylinders = slices.Clone(d.cylinders)
		for i := range d.cylinders {
			if d.cylinders[i].paper == nil {
				d.cylinders[i].paper = d.paper
			}
		}
		note.Text = fmt.Sprintf("the lot has certificate %s; this one is kept for the cylinders of this delivery", k.document.Number)
		note.Advice = "compare both: they are of one lot"
	}
	return []problem.Finding{note}
}
