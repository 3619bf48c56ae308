package store

import (
	"context"
	"database/sql"
	"errors"

	"spanroom/models"
)

// Head is the last entry of the ledger; writing it down elsewhere shows later whether the tail was cut.
type Head struct {
	Seq  int64  `json:"seq"`
	Hash string `json:"hash"`
}

// Append writes entries at the end of the ledger, chained to what is there. The caller says what happened; the sequence,
// the canonical before and after, and the hashes are filled in here.
func (s *Store) Append(ctx context.Context, entries ...models.Entry) error {
	for i := range entries {
		var err error
		if entries[i].Before, err = canonical(entries[i].Before); err != nil {
			return err
		}
		if entries[i].After, err = canonical(entries[i].After); err != nil {
			return err
		}
	}
	return s.chain(ctx, entries)
}

// chain writes entries whose before and after are canonical already.
func (s *Store) chain(ctx context.Context, entries []models.Entry) error {
	if s.tx == nil {
		return errors.New("store: the ledger is written inside a transaction only")
	}
	head, err := s.Head(ctx)
	if err != nil {
		return err
	}
	for _, e := range entries {
		e.Seq, e.PreviousHash = head.Seq+1, head.Hash
		if e.Hash, err = hashOf(e); err != nil {
			return err
		}
		if err := s.insertEntry(ctx, e); err != nil {
			return err
		}
		head = Head{Seq: e.Seq, Hash: e.Hash}
	}
	return nil
}

func (s *Store) insertEntry(ctx context.Context, e models.Entry) error {
	return s.db(ctx).Exec(`INSERT INTO ledger (seq, recorded_at, happened_at, by_name, kind, subject, quantity, unit, place,
		reverses, before, after, reason, request_id, previous_hash, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		e.Seq, e.RecordedAt, e.HappenedAt, e.ByName, e.Kind, e.Subject, e.Quantity, e.Unit, e.Place,
		e.Reverses, e.Before, e.After, e.Reason, e.RequestID, e.PreviousHash, e.Hash).Error
}

// Head gives the last entry; the zero Head for an empty ledger.
func (s *Store) Head(ctx context.Context) (Head, error) {
	var head Head
	err := s.db(ctx).Raw("SELECT seq, hash FROM ledger ORDER BY seq DESC LIMIT 1").Row().Scan(&head.Seq, &head.Hash)
	if errors.Is(err, sql.ErrNoRows) {
		return Head{}, nil
	}
	return head, err
}

// Entries lists the ledger after a sequence number.
func (s *Store) Entries(ctx context.Context, after int64, limit int) ([]models.Entry, error) {
	var rows []models.Entry
	err := s.db(ctx).Where("seq > ?", after).Order("seq").Limit(limit).Find(&rows).Error
	return rows, err
}

// EntriesOf lists the latest entries of one subject, newest first.
func (s *Store) EntriesOf(ctx context.Context, subject string, limit int) ([]models.Entry, error) {
	var rows []models.Entry
	err := s.db(ctx).Where("subject = ?", subject).Order("seq DESC").Limit(limit).Find(&rows).Error
	return rows, err
}
