package stock

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// CheckOutOrder takes one cylinder for a need. Without an item or blend it is wanted for what it is. A clerk hands it to
// somebody else by naming the holder.
type CheckOutOrder struct {
	TakeOrder
	Cylinder  string `json:"cylinder"`
	Regulator string `json:"regulator,omitempty"`
	Tubing    string `json:"tubing,omitempty"`
	Cap       string `json:"cap,omitempty"`
	Holder    string `json:"holder,omitempty"`
	// SetToCertified says that the instruments are set to the certified values of this cylinder, where their model allows it.
	SetToCertified bool              `json:"set_to_certified,omitempty"`
	Version        *int64            `json:"version,omitempty"` // of the cylinder as it was looked at
	Reasons        map[string]string `json:"reasons,omitempty"`
}

// CheckOutAnswer is a cylinder in somebody's hands.
type CheckOutAnswer struct {
	ID      int64        `json:"id"`
	Tag     unit.Tag     `json:"tag"`
	Item    string       `json:"item"`
	Holder  string       `json:"holder"`
	Place   string       `json:"place"` // where it was taken from
	TakenAt string       `json:"taken_at"`
	NeedL   float64      `json:"need_l"`
	Margin  MarginAnswer `json:"margin_l"`
	UseByDate
	LabelValues []string          `json:"label_values"`
	TestsLeft   []TestsLeft       `json:"tests_left"`
	Regulator   string            `json:"regulator"`
	Tubing      string            `json:"tubing"`
	Cap         string            `json:"cap"`
	Compared    string            `json:"compared"` // with which instruments
	Findings    []problem.Finding `json:"findings"`
	Version     int64             `json:"version"`
}

// CheckOut gives a cylinder to a person, after the same decision as Recommend makes, on things as they are now.
func (r Room) CheckOut(ctx context.Context, act auth.Act, o CheckOutOrder) (CheckOutAnswer, error) {
	// What can be read before the transaction is: whoever waits for the one writer waits for less.
	prior, err := r.readAhead(ctx, act.By, o)
	if err != nil {
		return CheckOutAnswer{}, err
	}
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (CheckOutAnswer, error) {
		t, err := r.readAgain(ctx, tx, act.By, o, prior)
		if err != nil {
			return CheckOutAnswer{}, err
		}
		return t.take(ctx, tx, act, o, prior.outlook)
	})
}

// Consider tells about the cylinder that somebody has in the hand what a check-out would say of it. It changes nothing.
func (r Room) Consider(ctx context.Context, by auth.Person, o CheckOutOrder) (Pick, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return Pick{}, err
	}
	t, err := readTaking(ctx, r.Store, m, by, o)
	if err != nil {
		return Pick{}, err
	}
	f, err := survey(ctx, r.Store, m, t.wanted)
	if err == nil {
		err = f.furnish(ctx, r.Store)
	}
	if err != nil {
		return Pick{}, err
	}
	d := t.v.decide(t.cylinder, t.need)
	p := f.pick(candidate{&t.cylinder, d}, "in your hand")
	p.Findings = problem.Sort(append(p.Findings, slices.Concat(t.otherProduct(), t.later(d, f.best()))...))
	return p, nil
}

// taking is a check-out that has been read: the need, the cylinder, the regulator set, and to whom.
type taking struct {
	wanted
	cylinder
	v      *view
	beside []beside // what else of the item is at hand, like for like; loaded where somebody asks
	holder models.Person
}

func readTaking(ctx context.Context, s *store.Store, m moment, by auth.Person, o CheckOutOrder) (taking, error) {
	r := newNeedReader(s, m, by)
	var t taking
	r.cylinder(ctx, o.Cylinder, &t)
	if strings.TrimSpace(o.Item+o.Blend+o.Round) == "" && t.v != nil {
		o.Item = t.item.Code
	}
	r.read(ctx, o.TakeOrder)
	r.reasons(o.Reasons)
	r.need = r.withSet(r.set(ctx, o))
	r.entering = o.SetToCertified
	t.holder = r.holder(ctx, by, o.Holder)
	t.wanted = r.wanted
	return t, r.err()
}

// cylinder finds the cylinder by its tag.
func (r *needReader) cylinder(ctx context.Context, text string, t *taking) {
	if strings.TrimSpace(text) == "" {
		r.wrong.Add("cylinder", "it is not said which cylinder is taken", "scan its tag")
		return
	}
	tag, err := unit.ParseTag(text)
	if !r.wrong.Take("cylinder", err) {
		return
	}
	err = t.look(ctx, r.store, r.moment, tag)
	switch {
	case problem.KindOf(err) == problem.Missing:
		r.wrong.Add("cylinder", fmt.Sprintf("there is no cylinder %s", tag), "look at the label again, or scan it")
	case err != nil:
		r.broken = err
	}
}

// holder is who gets the cylinder: the person who acts, or whom a clerk hands it to.
func (r *needReader) holder(ctx context.Context, by auth.Person, name string) models.Person {
	self := models.Person{ID: by.ID, Name: by.Name}
	if name = strings.TrimSpace(name); name == "" || name == by.Name {
		return self
	}
	if !runsTheDesk(by) {
		r.wrong.Add("holder", "only a clerk or a supervisor hands a cylinder to somebody else", "take it in your own name, or ask the clerk")
		return self
	}
	person, err := r.store.PersonByName(ctx, name)
	if problem.KindOf(err) == problem.Missing {
		r.wrong.Add("holder", fmt.Sprintf("there is nobody called %q", clip(name)), "choose one of the people who sign in here")
		return self
	}
	r.fail(func() error { return err })
	return person
}
