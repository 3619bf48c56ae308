package store

import (
	"context"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"

	"spanroom/models"
)

// verifyHolds compares the holds that stand with those that the ledger saw placed and not released.
func (s *Store) verifyHolds(ctx context.Context) ([]string, error) {
	return s.mismatches(ctx, "%s%s: the ledger counts %d standing holds, the list of holds %d", `
		SELECT subject, '' AS place, SUM(booked) AS booked, SUM(kept) AS kept FROM (
			SELECT subject, CASE kind WHEN 'hold' THEN 1 ELSE -1 END AS booked, 0 AS kept FROM ledger WHERE kind IN ('hold', 'release')
			UNION ALL
			SELECT CASE on_kind WHEN 'lot' THEN 'lot:' || on_id ELSE on_kind || ':' || on_name END, 0, 1 FROM holds WHERE released_at = 0
		) AS both_sides GROUP BY subject HAVING SUM(booked) <> SUM(kept) ORDER BY subject`)
}

// verifyVersions compares every state of the catalogue and the settings with what the ledger wrote of it.
func (s *Store) verifyVersions(ctx context.Context) ([]string, error) {
	booked, err := s.bookedVersions(ctx)
	if err != nil {
		return nil, err
	}
	var wrong []string
	kept := map[string]int{}
	var page []models.Version
	for after := int64(0); ; after = page[len(page)-1].ID {
		page = nil
		if err := s.db(ctx).Where("id > ?", after).Order("id").Limit(1000).Find(&page).Error; err != nil {
			return nil, err
		}
		if len(page) == 0 {
			break
		}
		for _, v := range page {
			subject := "catalogue:" + v.Noun + ":" + v.Code
			kept[subject]++
			if doc, err := canonical(v.Doc); err != nil || v.Version > int64(len(booked[subject])) || booked[subject][v.Version-1] != sha256.Sum256([]byte(doc)) {
				wrong = append(wrong, fmt.Sprintf("%s: its version %d is not what the ledger wrote", subject, v.Version))
			}
		}
	}
	for _, subject := range slices.Sorted(maps.Keys(booked)) {
		if n := len(booked[subject]); kept[subject] < n {
			wrong = append(wrong, fmt.Sprintf("%s: the ledger knows %d versions, %d are there", subject, n, kept[subject]))
		}
	}
	return wrong, nil
}

// bookedVersions gives the fingerprints of the states of each catalogue thing, as the ledger wrote them one after the other.
func (s *Store) bookedVersions(ctx context.Context) (map[string][][sha256.Size]byte, error) {
	booked := map[string][][sha256.Size]byte{}
	var page []models.Entry
	for after := int64(0); ; after = page[len(page)-1].Seq {
		page = nil
		err := s.db(ctx).Select("seq", "subject", "after").Where("kind = 'catalogue' AND seq > ?", after).Order("seq").Limit(1000).Find(&page).Error
		if err != nil || len(page) == 0 {
			return booked, err
		}
		for _, e := range page {
			booked[e.Subject] = append(booked[e.Subject], sha256.Sum256([]byte(e.After)))
		}
	}
}
