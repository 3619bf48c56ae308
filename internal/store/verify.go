package store

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"

	"gorm.io/gorm"

	"spanroom/models"
)

// Fault is the first ledger entry that does not hold, and why.
type Fault struct {
	Seq int64
	Why string
}

// Verdict is what verify found: the chain's state, and everything kept that the ledger does not explain.
type Verdict struct {
	Entries  int64
	Head     Head
	Fault    *Fault
	Balances []string
}

// Sound tells whether nothing was found.
func (v Verdict) Sound() bool { return v.Fault == nil && len(v.Balances) == 0 }

// Verify recomputes the ledger's chain from its first entry and compares balances, cylinders, holds and the catalogue's
// versions with it, and files with their fingerprints, all as they are at one moment, whatever is written meanwhile.
func (s *Store) Verify(ctx context.Context) (v Verdict, err error) {
	err = s.core.read.WithContext(ctx).Transaction(func(tx *gorm.DB) error {
		v, err = (&Store{core: s.core, tx: tx}).verify(ctx)
		return err
	}, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true})
	return v, err
}

func (s *Store) verify(ctx context.Context) (Verdict, error) {
	v, err := s.verifyChain(ctx)
	if err != nil {
		return v, err
	}
	for _, check := range []func(context.Context) ([]string, error){s.verifyBalances, s.verifyCylinders, s.verifyPositions, s.verifyHolds, s.verifyVersions, s.verifyFiles} {
		wrong, err := check(ctx)
		if err != nil {
			return v, err
		}
		v.Balances = append(v.Balances, wrong...)
	}
	return v, nil
}

func (s *Store) verifyChain(ctx context.Context) (Verdict, error) {
	var v Verdict
	for {
		rows, err := s.Entries(ctx, v.Head.Seq, 1000)
		if err != nil || len(rows) == 0 {
			return v, err
		}
		for _, e := range rows {
			if why := broken(v.Head, e); why != "" && v.Fault == nil {
				v.Fault = &Fault{Seq: v.Head.Seq + 1, Why: why}
			}
			v.Entries++
			v.Head = Head{Seq: e.Seq, Hash: e.Hash}
		}
	}
}

// broken says what is wrong with an entry that follows head, or "".
func broken(head Head, e models.Entry) string {
	if e.Seq != head.Seq+1 {
		return fmt.Sprintf("entry %d is missing: the next one is %d", head.Seq+1, e.Seq)
	}
	if e.PreviousHash != head.Hash {
		return fmt.Sprintf("entry %d does not continue entry %d: one of them was edited, swapped or put in", e.Seq, head.Seq)
	}
	hash, err := hashOf(e)
	if err != nil || hash != e.Hash {
		return fmt.Sprintf("entry %d was edited: its contents do not give its hash", e.Seq)
	}
	return ""
}

type mismatch struct {
	Subject string
	Place   string
	Booked  int64
	Kept    int64
}

// verifyBalances compares what is kept of consumables with the sums of the ledger, both ways round.
func (s *Store) verifyBalances(ctx context.Context) ([]string, error) {
	return s.mismatches(ctx, "%s at %s: the ledger sums to %d, the balance says %d", `
		SELECT subject, place, SUM(booked) AS booked, SUM(kept) AS kept FROM (
			SELECT subject, place, quantity AS booked, 0 AS kept FROM ledger WHERE subject LIKE 'item:%'
			UNION ALL
			SELECT 'item:' || i.code, p.code, 0, b.quantity FROM balances b JOIN items i ON i.id = b.item_id JOIN places p ON p.id = b.place_id
		) AS both_sides GROUP BY subject, place HAVING SUM(booked) <> SUM(kept) ORDER BY subject, place`)
}

// verifyPositions compares where each cylinder is with the sum of its moves.
func (s *Store) verifyPositions(ctx context.Context) ([]string, error) {
	return s.mismatches(ctx, "%s at %s: the ledger counts %d, the cylinder list %d", `
		SELECT subject, place, SUM(booked) AS booked, SUM(kept) AS kept FROM (
			SELECT subject, place, quantity AS booked, 0 AS kept FROM ledger WHERE unit = 'cylinder' AND quantity <> 0
			UNION ALL
			SELECT 'cylinder:' || c.tag, COALESCE(p.code, 'person:' || h.name), 0, 1 FROM cylinders c
				LEFT JOIN places p ON p.id = c.place_id LEFT JOIN people h ON h.id = c.holder_id
				WHERE c.place_id IS NOT NULL OR c.holder_id IS NOT NULL
		) AS both_sides GROUP BY subject, place HAVING SUM(booked) <> SUM(kept) ORDER BY subject, place`)
}

func (s *Store) mismatches(ctx context.Context, form, query string) ([]string, error) {
	var rows []mismatch
	if err := s.db(ctx).Raw(query).Scan(&rows).Error; err != nil {
		return nil, err
	}
	var wrong []string
	for _, m := range rows {
		wrong = append(wrong, fmt.Sprintf(form, m.Subject, m.Place, m.Booked, m.Kept))
	}
	return wrong, nil
}

// verifyCylinders compares each cylinder's row with the state that the ledger wrote last.
func (s *Store) verifyCylinders(ctx context.Context) ([]string, error) {
	var last []models.Entry
	err := s.db(ctx).Raw(`SELECT subject, after FROM ledger WHERE seq IN
		(SELECT MAX(seq) FROM ledger WHERE subject LIKE 'cylinder:%' AND after <> '' GROUP BY subject)`).Scan(&last).Error
	if err != nil {
		return nil, err
	}
	booked := make(map[string]string, len(last))
	for _, e := range last {
		booked[e.Subject] = e.After
	}
	var wrong []string
	var page []models.Cylinder
	for after := int64(0); ; after = page[len(page)-1].ID {
		page = nil
		if err := s.db(ctx).Where("id > ?", after).Order("id").Limit(1000).Find(&page).Error; err != nil {
			return nil, err
		}
		if len(page) == 0 {
			break
		}
		for _, c := range page {
			state, err := stateOf(c)
			if err != nil {
				return nil, err
			}
			if booked[Subject(c.Tag)] != state {
				wrong = append(wrong, fmt.Sprintf("cylinder %s: its row is not what the ledger wrote last", c.Tag))
			}
			delete(booked, Subject(c.Tag))
		}
	}
	for _, subject := range slices.Sorted(maps.Keys(booked)) {
		wrong = append(wrong, fmt.Sprintf("%s: the ledger knows it, its row is gone", subject))
	}
	return wrong, nil
}
