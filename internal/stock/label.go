package stock

import (
	"context"
	"fmt"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// labelEntry is the kind of ledger entry that one more label for a cylinder is.
const labelEntry = "label"

// LabelOrder asks for another label, where the one on the cylinder cannot be read any more.
type LabelOrder struct {
	Tag   string `json:"-"`
	Fault string `json:"fault"` // what is wrong with the one on the cylinder
}

// LabelAnswer is the label that counts: which print of the tag it is, and on which delivery's page it stands.
type LabelAnswer struct {
	Tag     unit.Tag `json:"tag"`
	Receipt int64    `json:"receipt"`
	Print   int64    `json:"print"` // 1 as it came; older ones are void
}

// PrintLabel gives a cylinder another label under the same tag. Each carries its number, so that an older one that turns up is
// known to be void.
func (r Room) PrintLabel(ctx context.Context, act auth.Act, o LabelOrder) (LabelAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (LabelAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return LabelAnswer{}, err
		}
		_, c, err := lookUp(ctx, tx, m, o.Tag)
		if err != nil {
			return LabelAnswer{}, err
		}
		if c.Stage == Gone {
			return LabelAnswer{}, problem.New(problem.Conflict, fmt.Sprintf("%s is gone", c.Tag), "look at the cylinder again: it is another one")
		}
		reader := orderReader{moment: m}
		fault := reader.text("fault", o.Fault, longestReason)
		if fault == "" && len(reader.wrong) == 0 {
			reader.wrong.Add("fault", "what is wrong with the old label is not given", "say it in a few words, such as: washed out")
		}
		if err := reader.wrong.Err(); err != nil {
			return LabelAnswer{}, err
		}
		prints, err := tx.LabelsPrinted(ctx, []unit.Tag{c.Tag})
		if err != nil {
			return LabelAnswer{}, err
		}
		answer := LabelAnswer{c.Tag, c.ReceiptID, prints[c.Tag] + 1}
		e := m.entry(act, labelEntry, fmt.Sprintf("print %d: %s", answer.Print, fault))
		e.Subject = store.Subject(c.Tag)
		return answer, tx.Append(ctx, e)
	})
}

// LabelOf tells which label of a cylinder counts.
func (r Room) LabelOf(ctx context.Context, tag unit.Tag) (LabelAnswer, error) {
	c, err := r.Store.CylinderByTag(ctx, tag)
	if err != nil {
		return LabelAnswer{}, err
	}
	prints, err := r.Labels(ctx, tag)
	return LabelAnswer{tag, c.ReceiptID, prints[tag]}, err
}

// Labels tells which print of each cylinder's label counts.
func (r Room) Labels(ctx context.Context, tags ...unit.Tag) (map[unit.Tag]int64, error) {
	return r.Store.LabelsPrinted(ctx, tags)
}
