package stock

import (
	"context"
	"encoding/json"

	"spanroom/models"
)

// LedgerQuestion asks for entries after a sequence number, of one subject or of all.
type LedgerQuestion struct {
	Subject string
	After   int64
	Limit   int
}

// LedgerAnswer is a part of the ledger, oldest first; Next is where to go on, 0 at the end.
type LedgerAnswer struct {
	Rows []LedgerEntry `json:"rows"`
	Next int64         `json:"next"`
}

// LedgerEntry is one entry as the ledger keeps it, with its place in the chain.
type LedgerEntry struct {
	Seq          int64           `json:"seq"`
	RecordedAt   string          `json:"recorded_at"`
	HappenedAt   string          `json:"happened_at"`
	By           string          `json:"by"`
	Kind         string          `json:"kind"`
	Subject      string          `json:"subject"`
	Quantity     int64           `json:"quantity"`
	Unit         string          `json:"unit"`
	Place        string          `json:"place"`
	Reverses     *int64          `json:"reverses"`
	Before       json.RawMessage `json:"before"`
	After        json.RawMessage `json:"after"`
	Reason       string          `json:"reason"`
	RequestID    string          `json:"request_id"`
	PreviousHash string          `json:"previous_hash"`
	Hash         string          `json:"hash"`
}

const usualRows = 50

// Ledger lists what happened, entry by entry with its hashes.
func (r Room) Ledger(ctx context.Context, q LedgerQuestion) (LedgerAnswer, error) {
	if q.Limit <= 0 {
		q.Limit = usualRows
	}
	entries, err := r.entries(ctx, q)
	if err != nil {
		return LedgerAnswer{}, err
	}
	answer := LedgerAnswer{Rows: []LedgerEntry{}}
	if len(entries) > q.Limit {
		entries = entries[:q.Limit]
		answer.Next = entries[q.Limit-1].Seq
	}
	for _, e := range entries {
		answer.Rows = append(answer.Rows, ledgerEntry(e))
	}
	return answer, nil
}

// entries reads one more than is asked for, which tells whether there are more.
func (r Room) entries(ctx context.Context, q LedgerQuestion) ([]models.Entry, error) {
	if q.Subject != "" {
		return r.Store.EntriesAfter(ctx, q.Subject, q.After, q.Limit+1)
	}
	return r.Store.Entries(ctx, q.After, q.Limit+1)
}

// LastEntry gives the sequence number of the newest entry, 0 for an empty ledger.
func (r Room) LastEntry(ctx context.Context) (int64, error) {
	head, err := r.Store.Head(ctx)
	return head.Seq, err
}

func ledgerEntry(e models.Entry) LedgerEntry {
	return LedgerEntry{
		Seq: e.Seq, RecordedAt: e.RecordedAt.String(), HappenedAt: e.HappenedAt.String(), By: e.ByName, Kind: e.Kind, Subject: e.Subject,
		Quantity: e.Quantity, Unit: e.Unit, Place: e.Place, Reverses: e.Reverses, Before: raw(e.Before), After: raw(e.After),
		Reason: e.Reason, RequestID: e.RequestID, PreviousHash: e.PreviousHash, Hash: e.Hash,
	}
}

func raw(state string) json.RawMessage {
	if state == "" {
		return nil
	}
	return json.RawMessage(state)
}
