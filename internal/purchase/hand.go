package purchase

import (
	"cmp"
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/reorder"
	"spanroom/internal/shelf"
	"spanroom/internal/unit"
	"spanroom/models"
)

// certificateMissing and undated are the reasons of a hold that the plan itself knows.
const (
	certificateMissing = "Certificate missing"
	undated            = "Undated"
)

// batch is what makes cylinders of an item one line: their lot, their use-by, and what holds them back.
type batch struct {
	lot     int64
	expires unit.Date
	limited string
	held    string
}

// onHand lists the stock of an item, what expires first in front. A full cylinder of it gives so many litres.
func (k *known) onHand(item models.Item, full float64) []Lot {
	if item.Kind != catalogue.Gas {
		if n := k.balances[item.ID]; n != 0 {
			return []Lot{{Units: counted(item, n)}}
		}
		return nil
	}
	sums := map[batch]*Lot{}
	var lots []*Lot
	for _, c := range k.cylinders[item.ID] {
		b := k.batchOf(c, item)
		if sums[b] == nil {
			l := k.lots[b.lot]
			sums[b] = &Lot{Lot: l.Lot, Supplier: k.suppliers[l.SupplierID], ExpiresOn: b.expires, Limited: b.limited, Held: b.held}
			lots = append(lots, sums[b])
		}
		k.add(sums[b], c, item, full)
	}
	slices.SortStableFunc(lots, func(a, b *Lot) int {
		return cmp.Or(cmp.Compare(a.ExpiresOn, b.ExpiresOn), cmp.Compare(a.Lot, b.Lot), cmp.Compare(a.Held, b.Held))
	})
	out := make([]Lot, len(lots))
	for i, l := range lots {
		out[i] = *l
	}
	return out
}

// add counts a cylinder to its lot: a sealed one is whole, an opened one what is left of it.
func (k *known) add(l *Lot, c models.Cylinder, item models.Item, full float64) {
	if c.Stage == "opened" {
		l.Opened++
		l.Units += k.share(c, item, full)
		return
	}
	l.Sealed++
	l.Units++
}

// counted turns the ledger's whole numbers into the item's unit: lengths are kept in millimetres.
func counted(item models.Item, n int64) float64 {
	if item.CountedIn == catalogue.InMetres {
		return unit.Length(n).Metres()
	}
	return float64(n)
}

// useByKey is what a use-by depends on; the sealed cylinders of a lot share one answer.
type useByKey struct {
	lot, item, paper int64
	opened           unit.Date
}

func (k *known) useBy(c models.Cylinder, item models.Item) shelf.UseBy {
	lot := k.lots[c.LotID]
	paper := c.CertificateID
	if paper == nil {
		paper = lot.CertificateID
	}
	var document *models.Certificate
	key := useByKey{lot: c.LotID, item: item.ID, opened: c.OpenedOn}
	if paper != nil {
		p := k.papers[*paper]
		document, key.paper = &p, *paper
	}
	known, there := k.useBys[key]
	if !there {
		known = catalogue.ShelfTerms(lot, item, k.mixtures[lot.BlendID].parts, document, c.OpenedOn).UseBy()
		k.useBys[key] = known
	}
	return known
}

func (k *known) batchOf(c models.Cylinder, item models.Item) batch {
	useBy := k.useBy(c, item)
	b := batch{lot: c.LotID, expires: useBy.ExpiresOn, limited: useBy.Words, held: k.heldBy(c)}
	if b.held == "" && useBy.Undated {
		b.held = undated
	}
	return b
}

// heldBy says why a cylinder is not counted on: a hold, or that it is out for too long. Of several holds the missing
// certificate is named last, because its arrival would not be enough.
func (k *known) heldBy(c models.Cylinder) string {
	reason := ""
	for _, on := range []target{{"cylinder", c.ID}, {"lot", c.LotID}, {"item", c.ItemID}} {
		for _, r := range k.holds[on] {
			if r != certificateMissing {
				return r
			}
			reason = r
		}
	}
	if _, late := k.late[c.ID]; late {
		return reorder.OutLate
	}
	if !k.settings.ExcludeCertificateMissing {
		return ""
	}
	return reason
}

// lastDay is the last day on which gas may be used, where the use-by itself does not count.
func (k *known) lastDay(expires unit.Date) unit.Date {
	if k.settings.ThroughDay() {
		return expires
	}
	return expires.AddDays(-1)
}

// stock gives the lots as the plan takes them, in the same order.
func (k *known) stock(lots []Lot) []reorder.Lot {
	out := make([]reorder.Lot, len(lots))
	for i, l := range lots {
		out[i] = reorder.Lot{Lot: l.Lot, Units: l.Units, ExpiresOn: k.lastDay(l.ExpiresOn), Held: l.Held != "", Hold: l.Held}
	}
	return out
}
