package stock

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// What a hold may be on.
const (
	onCylinder  = "cylinder"
	onLot       = "lot"
	onItem      = "item"
	onRegulator = "regulator"
)

// HoldKinds lists what a hold may be on.
func HoldKinds() []string { return []string{onCylinder, onLot, onItem, onRegulator} }

// HoldOrder keeps something from use.
type HoldOrder struct {
	On     HoldOn `json:"on"`
	Reason string `json:"reason"`
	Text   string `json:"text,omitempty"`
}

// HoldOn is what a hold is on. The id is the tag of a cylinder, the number of a lot, the code of an item or regulator; it
// is text, and a bare number is taken too.
type HoldOn struct {
	Kind string     `json:"kind"`
	ID   unit.Typed `json:"id"`
}

// PlacedHold is the answer to a hold: the hold, who has what it is on, and what to do first where gas may be leaking.
type PlacedHold struct {
	HoldAnswer
	OnKind    string            `json:"on_kind"`
	OnName    string            `json:"on_name"`
	Findings  []problem.Finding `json:"findings"`
	Caution   string            `json:"caution"`   // of a suspected leak
	Emergency string            `json:"emergency"` // the site's numbers, with the caution
}

// leakCaution is what a suspected leak asks for before anything else.
const leakCaution = "Suspected leak: leave first, warn others, keep out, call. Ventilate only from outside."

// held is what a hold is put on.
type held struct {
	kind, name, subject string
	id                  int64
}

// Hold puts something on hold. Anybody who may write may do so, at any time.
func (r Room) Hold(ctx context.Context, act auth.Act, o HoldOrder) (PlacedHold, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (PlacedHold, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return PlacedHold{}, err
		}
		on, text, err := readHold(ctx, tx, m, o)
		if err != nil {
			return PlacedHold{}, err
		}
		if err := notHeld(ctx, tx, m, on, o.Reason); err != nil {
			return PlacedHold{}, err
		}
		h := models.Hold{OnKind: on.kind, OnID: on.id, OnName: on.name, Reason: o.Reason, Text: text}
		if h, err = m.putHold(ctx, tx, act, h, on.subject); err != nil {
			return PlacedHold{}, err
		}
		answer := PlacedHold{HoldAnswer: holdAnswer(h), OnKind: on.kind, OnName: on.name}
		if h.Reason == LeakSuspected {
			answer.Caution, answer.Emergency = leakCaution, m.settings.EmergencyNumbers
		}
		answer.Findings, err = whoHas(ctx, tx, m, on)
		return answer, err
	})
}

// putHold keeps a hold with its ledger entry.
func (m moment) putHold(ctx context.Context, tx *store.Store, act auth.Act, h models.Hold, subject string) (models.Hold, error) {
	h.PlacedAt, h.PlacedBy = m.at, act.By.Name
	if err := tx.AddHold(ctx, &h); err != nil {
		return h, err
	}
	e := m.entry(act, "hold", because(h.Reason, h.Text))
	e.Subject = subject
	return h, tx.Append(ctx, e)
}

func because(reason, text string) string {
	if text == "" {
		return reason
	}
	return reason + ": " + text
}

// readHold finds what an order is about, and tells everything that is wrong with it at once.
func readHold(ctx context.Context, tx *store.Store, m moment, o HoldOrder) (held, string, error) {
	r := orderReader{moment: m}
	if !slices.Contains(holdReasons, o.Reason) {
		r.wrong.Add("reason", fmt.Sprintf("%q is no reason for a hold", clip(o.Reason)), "choose one of "+strings.Join(holdReasons, ", "))
	}
	text := r.text("text", strings.ReplaceAll(o.Text, "\n", " "), longestReason)
	on, err := findHeld(ctx, tx, &r.wrong, o.On)
	if err == nil {
		err = r.wrong.Err()
	}
	return on, text, err
}

func findHeld(ctx context.Context, tx *store.Store, wrong *problem.Fields, on HoldOn) (held, error) {
	id := strings.TrimSpace(string(on.ID))
	h := held{kind: on.Kind, name: id, subject: on.Kind + ":" + id}
	var err error
	switch on.Kind {
	case onCylinder:
		err = h.cylinder(ctx, tx, wrong, id)
	case onLot:
		err = h.lot(ctx, tx, wrong, id)
	case onItem, onRegulator:
		h.id, err = tx.CatalogueID(ctx, on.Kind, id)
		if err == nil && h.id == 0 {
			wrong.Add("on.id", fmt.Sprintf("there is no %s %q", on.Kind, clip(id)), "write its code as the catalogue has it")
		}
	default:
		wrong.Add("on.kind", fmt.Sprintf("%q cannot be put on hold", clip(on.Kind)), "choose one of "+list(HoldKinds()))
	}
	return h, err
}

func (h *held) cylinder(ctx context.Context, tx *store.Store, wrong *problem.Fields, id string) error {
	tag, err := unit.ParseTag(id)
	if !wrong.Take("on.id", err) {
		return nil
	}
	row, err := tx.CylinderByTag(ctx, tag)
	if problem.KindOf(err) == problem.Missing {
		wrong.Take("on.id", err)
		return nil
	}
	h.id, h.name, h.subject = row.ID, string(tag), store.Subject(tag)
	return err
}

func (h *held) lot(ctx context.Context, tx *store.Store, wrong *problem.Fields, id string) error {
	number, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		wrong.Add("on.id", fmt.Sprintf("%q is not the number of a lot", clip(id)), "write lot_id as a cylinder of the lot answers it")
		return nil
	}
	row, err := tx.LotByID(ctx, number)
	if problem.KindOf(err) == problem.Missing {
		wrong.Take("on.id", err)
		return nil
	}
	h.id, h.name, h.subject = row.ID, row.Lot, lotSubject(row.ID)
	return err
}

// notHeld refuses a second hold of the same reason on the same thing.
func notHeld(ctx context.Context, tx *store.Store, m moment, on held, reason string) error {
	h, standing, err := tx.HoldStanding(ctx, on.kind, on.id, reason)
	if err != nil || !standing {
		return err
	}
	return problem.New(problem.Conflict, fmt.Sprintf("%s %s is on hold for %q already: hold %d by %s", on.kind, on.name, reason, h.ID, h.PlacedBy), "nothing more is needed; add what you know to the reading or the release")
}

// mostNamed bounds how many cylinders an answer names one by one.
const mostNamed = 20

// whoHas notes who is out with what was put on hold: they have to be told.
func whoHas(ctx context.Context, tx *store.Store, m moment, on held) ([]problem.Finding, error) {
	out, err := tx.CylindersOut(ctx, on.kind, on.id)
	if err != nil {
		return nil, err
	}
	found := []problem.Finding{}
	v, all, err := look(ctx, tx, m, out[:min(len(out), mostNamed)])
	for _, c := range all {
		found = append(found, one("R35", problem.Note, c, fmt.Sprintf("%s has it since %s: what is tested with it from now on is doubtful", c.holder, v.clock(c.HeldSince)), "tell "+c.holder+" to stop using it")...)
	}
	if more := len(out) - len(all); err == nil && more > 0 {
		found = append(found, problem.Finding{Rule: "R35", Severity: problem.Note, Subject: on.name, Text: fmt.Sprintf("%d more are out", more), Advice: "look at the list of what is out"})
	}
	return found, err
}
