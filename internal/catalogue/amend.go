package catalogue

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
)

// Amend changes a thing inside a transaction of another room, as a check-out does that confirms set values: edit gets it as it
// is now, and what it makes of it becomes the next version, with its entry in the ledger. An edit that changes nothing leaves
// no trace.
func (r Room) Amend(ctx context.Context, tx *store.Store, act auth.Act, noun, code string, edit func(Order)) error {
	n, ok := nounNamed(noun)
	if !ok {
		return errors.New("catalogue: no noun " + noun)
	}
	had, known, err := tx.LatestVersion(ctx, noun, code)
	if err != nil {
		return err
	}
	if !known {
		return problem.NotFound(noun, code)
	}
	order, err := n.read(had.Doc)
	if err != nil {
		return err
	}
	before, err := json.Marshal(order)
	if err != nil {
		return err
	}
	edit(order)
	after, err := json.Marshal(order)
	if err != nil || bytes.Equal(before, after) {
		return err
	}
	had.Code = code
	_, err = r.put(ctx, tx, act, order, had)
	return amending(noun, code, err)
}

// amending says of which thing something is wrong: its fields are not those of the order at hand.
func amending(noun, code string, err error) error {
	var e *problem.Error
	if !errors.As(err, &e) || len(e.Fields) == 0 {
		return err
	}
	return problem.New(problem.Conflict, fmt.Sprintf("%s %s cannot be changed: %s", noun, code, e.Error()), "correct it in the catalogue first")
}
