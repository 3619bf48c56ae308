package stock

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// EquipmentQuestion asks for regulators, tubings and caps: those of a kind, those of which a word occurs in what is told of them.
type EquipmentQuestion struct {
	Kind  string
	Code  string // of one piece
	Text  string
	After string // the last row of the part before, "regulator R-03"
	Limit int
}

// Equipment is a part of the list; Next is where to go on, "" at the end.
type Equipment struct {
	Rows []EquipmentRow `json:"rows"`
	Next string         `json:"next"`
}

// EquipmentRow is one regulator, tubing or cap: what it is, where it is now and who has it, and what is due on it.
type EquipmentRow struct {
	Kind         string       `json:"kind"`
	Code         string       `json:"code"`
	Name         string       `json:"name"`
	What         string       `json:"what"`
	Place        string       `json:"place"`    // "" while somebody has it
	With         string       `json:"with"`     // who has it
	Since        string       `json:"since"`    // that person has it
	Cylinder     unit.Tag     `json:"cylinder"` // with which it is out, or on which it was left
	LeftOn       bool         `json:"left_on"`
	LastGas      []string     `json:"last_gas"` // formulas; none where nobody knows
	DueOn        unit.Date    `json:"due_on"`
	Uses         int64        `json:"uses"` // check-outs since it was serviced
	DueAfterUses *int64       `json:"due_after_uses"`
	State        string       `json:"state"`
	Holds        []HoldAnswer `json:"holds"`
}

// EquipmentKinds lists the kinds of piece in a regulator set, in their order.
func EquipmentKinds() []string { return slices.Clone(pieceKinds) }

// Equipment lists the regulators, tubings and caps with where they are now (R53).
func (r Room) Equipment(ctx context.Context, q EquipmentQuestion) (Equipment, error) {
	kinds := pieceKinds
	if q.Kind != "" {
		if !slices.Contains(pieceKinds, q.Kind) {
			return Equipment{}, problem.New(problem.Invalid, fmt.Sprintf("%q is no kind of equipment", clip(q.Kind)), "choose one of "+list(pieceKinds))
		}
		kinds = []string{q.Kind}
	}
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return Equipment{}, err
	}
	pieces, err := loadPieces(ctx, r.Store, kinds...)
	if err != nil {
		return Equipment{}, err
	}
	if err := loadRegulatorHolds(ctx, r.Store, pieces); err != nil {
		return Equipment{}, err
	}
	return m.equipment(pieces, q), nil
}

// equipment narrows the list and cuts its next part.
func (m moment) equipment(pieces []*piece, q EquipmentQuestion) Equipment {
	page := Equipment{Rows: []EquipmentRow{}}
	for _, p := range pieces {
		if row := m.equipmentRow(p); row.order(q.After) > 0 && row.tells(q.Text) && (q.Code == "" || q.Code == row.Code) {
			page.Rows = append(page.Rows, row)
		}
	}
	slices.SortFunc(page.Rows, func(a, b EquipmentRow) int { return a.order(b.key()) })
	if limit := pageLength(q.Limit); len(page.Rows) > limit {
		page.Rows = page.Rows[:limit]
		page.Next = page.Rows[limit-1].key()
	}
	return page
}

func (r EquipmentRow) key() string { return r.Kind + " " + r.Code }

// order compares a row with the key of another: by kind and code.
func (r EquipmentRow) order(key string) int {
	kind, code, _ := strings.Cut(key, " ")
	return cmp.Or(cmp.Compare(slices.Index(pieceKinds, r.Kind), slices.Index(pieceKinds, kind)), cmp.Compare(r.Code, code))
}

// tells tells whether a text occurs in what is told of the piece; capitals do not matter.
func (r EquipmentRow) tells(text string) bool {
	told := strings.Join([]string{r.Code, r.Name, r.What, r.Place, r.With, string(r.Cylinder), r.State, strings.Join(r.LastGas, " ")}, "\n")
	return strings.Contains(strings.ToLower(told), strings.ToLower(text))
}

// The states of a piece, in words.
const (
	isHere         = "here"
	isDue          = "due"
	isLeftOn       = "left on"
	isOut          = "out"
	isOnHold       = "on hold"
	isOutOfService = "out of service"
)

func (m moment) equipmentRow(p *piece) EquipmentRow {
	u := p.upkeep()
	row := EquipmentRow{
		Kind: p.kind, Code: p.code, Name: p.name, What: p.what, Place: p.place, With: p.with, Since: p.since.String(), Cylinder: p.tag, LeftOn: p.leftOn,
		LastGas: append([]string{}, *p.gases()...), DueOn: u.DueOn, Uses: u.Uses, State: m.stateOf(p), Holds: holdAnswers(p.holds),
	}
	if u.DueAfterUses > 0 {
		row.DueAfterUses = &u.DueAfterUses
	}
	return row
}

// stateOf is what matters most about a piece.
func (m moment) stateOf(p *piece) string {
	u := p.upkeep()
	switch {
	case u.OutOfService:
		return isOutOfService
	case len(p.holds) > 0:
		return isOnHold
	case p.with != "":
		return isOut
	case p.leftOn:
		return isLeftOn
	case u.DueOn != "" && u.DueOn <= m.today || u.DueAfterUses > 0 && u.Uses >= u.DueAfterUses:
		return isDue
	}
	return isHere
}
