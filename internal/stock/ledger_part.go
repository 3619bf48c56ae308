package stock

import (
	"context"

	"spanroom/models"
)

// LedgerPart is a part of the ledger as people read it, oldest first; Next is where to go on, 0 at the end.
type LedgerPart struct {
	About Subject // the one thing that it is about; empty for the whole ledger
	Lines []LedgerDeed
	Next  int64
}

// LedgerDeed is one thing that was done: the entry that tells it, or the two of a move, out of one place and into another.
type LedgerDeed struct {
	Happened, Recorded string
	By                 string
	What               string // "taken", "moved"
	About              Subject
	Where              string // "CAGE → technician A"
	Amount             string // "0.30 L of gas"
	Before, After      string // pressures, where it changed them
	Reason             string
	Reverses           *int64
	Entries            []LedgerEntry // as they are kept
}

// Move tells whether it is two entries.
func (d LedgerDeed) Move() bool { return len(d.Entries) > 1 }

// LedgerPart gives the ledger in words. The two entries of a move stay together and count as where the first of them stands.
func (r Room) LedgerPart(ctx context.Context, q LedgerQuestion) (LedgerPart, error) {
	if q.Limit <= 0 {
		q.Limit = usualRows
	}
	wider := LedgerQuestion{Subject: q.Subject, After: max(0, q.After-1), Limit: q.Limit + 2} // the one before, the other side of a move, and whether there is more
	entries, err := r.entries(ctx, wider)
	if err != nil {
		return LedgerPart{}, err
	}
	entries, more := partOf(entries, q)
	names, err := r.subjects(ctx, q.Subject, entries)
	if err != nil {
		return LedgerPart{}, err
	}
	part := LedgerPart{About: names[q.Subject], Lines: deedsOf(entries, names)}
	if more {
		part.Next = entries[len(entries)-1].Seq
	}
	return part, nil
}

// partOf cuts out what was asked for, so that no move is cut in two, and tells whether there are more. A move whose first side
// stands in the part before is left to it, unless there would be nothing here.
func partOf(entries []models.Entry, q LedgerQuestion) (part []models.Entry, more bool) {
	limit := q.Limit
	if len(entries) > 0 && entries[0].Seq <= q.After {
		begun := len(entries) > 1 && areMove(entries[0], entries[1])
		switch {
		case !begun:
			entries = entries[1:]
		case limit > 1 && len(entries) > 2:
			entries, limit = entries[2:], limit-1
		}
	}
	n := min(limit, len(entries))
	if n > 0 && n < len(entries) && areMove(entries[n-1], entries[n]) {
		n++
	}
	return entries[:n], n < len(entries)
}

// areMove tells whether two entries are the two sides of one move, as store.PutCylinder writes them.
func areMove(out, in models.Entry) bool {
	return out.Seq+1 == in.Seq && out.Subject == in.Subject && out.Kind == in.Kind && out.RequestID == in.RequestID &&
		out.Unit == "cylinder" && in.Unit == "cylinder" && out.Quantity == -1 && in.Quantity == 1
}

func deedsOf(entries []models.Entry, names map[string]Subject) []LedgerDeed {
	lines := make([]LedgerDeed, 0, len(entries))
	for i := 0; i < len(entries); i++ {
		first, last := entries[i], entries[i]
		if i+1 < len(entries) && areMove(first, entries[i+1]) {
			i++
			last = entries[i]
		}
		lines = append(lines, deedOf(first, last, names[first.Subject]))
	}
	return lines
}

// deedOf puts the one entry of a deed into words, or the first and the last of a move.
func deedOf(first, last models.Entry, about Subject) LedgerDeed {
	d := LedgerDeed{
		Happened: first.HappenedAt.String(), Recorded: first.RecordedAt.String(), By: first.ByName, What: doing(first), About: about,
		Amount: amountOf(first), Reason: first.Reason, Reverses: first.Reverses, Entries: []LedgerEntry{ledgerEntry(first)},
	}
	if first.Seq == last.Seq {
		d.Where = whereOf(first)
		d.Before, d.After = figures(first)
		return d
	}
	d.Where = placeName(first.Place) + " → " + placeName(last.Place)
	d.Entries = append(d.Entries, ledgerEntry(last))
	d.Before, d.After = figures(models.Entry{Before: first.Before, After: last.After})
	return d
}
