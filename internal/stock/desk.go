package stock

import (
	"cmp"
	"context"
	"slices"

	"spanroom/internal/auth"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// DeskAnswer is the work that waits for the person who signed in.
type DeskAnswer struct {
	Late     int64      `json:"late"`     // out past the planned day
	Expiring int64      `json:"expiring"` // cylinders whose use-by is near or past
	OnHold   int64      `json:"on_hold"`  // holds that stand
	Mine     []Outing   `json:"mine"`
	Out      []Outing   `json:"out"`
	Remind   []Outing   `json:"remind"` // late, and for this person to see to
	UseFirst []UseFirst `json:"use_first"`
	Tasks    []Waiting  `json:"tasks"`
	Holds    []Waiting  `json:"holds"` // those that this person may release, or whose certificate they chase
}

// Outing is a cylinder that is out.
type Outing struct {
	Checkout int64     `json:"checkout"`
	Tag      unit.Tag  `json:"tag"`
	Item     string    `json:"item"`
	Holder   string    `json:"holder"`
	From     string    `json:"from"`
	Since    string    `json:"since"`
	Until    unit.Date `json:"until"`
	LateDays int       `json:"late_days"`
}

// UseFirst is gas whose use-by comes next.
type UseFirst struct {
	Tag       unit.Tag  `json:"tag"`
	Number    int64     `json:"number"` // how many of the lot are there with this use-by
	Item      string    `json:"item"`
	Lot       string    `json:"lot"`
	Place     string    `json:"place"`
	ExpiresOn unit.Date `json:"expires_on"`
	DaysLeft  int       `json:"days_left"`
	Words     string    `json:"words"`
}

// Waiting is one thing that waits for a role.
type Waiting struct {
	ID      int64  `json:"id"`
	Subject string `json:"subject"`
	Text    string `json:"text"`
	Since   string `json:"since"`
	Kind    string `json:"kind"`
}

const (
	mostOut      = 50
	mostUseFirst = 12
	mostHolds    = 50
)

// Desk gathers what waits for a person: what is out, what expires next, what was left to sort out, what they may release.
func (r Room) Desk(ctx context.Context, by auth.Person) (DeskAnswer, error) {
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return DeskAnswer{}, err
	}
	var d DeskAnswer
	if err := d.loadOut(ctx, r.Store, m, by); err != nil {
		return d, err
	}
	if err := d.loadUseFirst(ctx, r.Store, m); err != nil {
		return d, err
	}
	if err := d.loadTasks(ctx, r.Store, by); err != nil {
		return d, err
	}
	return d, d.loadHolds(ctx, r.Store, by)
}

func (d *DeskAnswer) loadOut(ctx context.Context, s *store.Store, m moment, by auth.Person) error {
	mine, err := s.OutNow(ctx, by.ID, mostOut)
	if err != nil {
		return err
	}
	out, err := s.OutNow(ctx, 0, mostOut)
	if err != nil {
		return err
	}
	d.Mine, d.Out = outings(mine, m.today), outings(out, m.today)
	d.Remind = m.remind(by, d.Mine, d.Out)
	d.Late, err = s.CountLate(ctx, m.today)
	return err
}

// remind names what is late enough for a person to see to: first to who has it, then to the clerk, then to the supervisor (R32).
func (m moment) remind(by auth.Person, mine, out []Outing) []Outing {
	late := m.settings.LateDays
	remind := append([]Outing{}, only(mine, func(o Outing) bool { return o.LateDays > 0 && int64(o.LateDays) >= late[0] })...)
	after := int64(0)
	switch by.Role {
	case auth.Clerk:
		after = late[1]
	case auth.Supervisor:
		after = late[2]
	default:
		return remind
	}
	return append(remind, only(out, func(o Outing) bool {
		return o.Holder != by.Name && o.LateDays > 0 && int64(o.LateDays) >= after
	})...)
}

func outings(rows []store.Outing, today unit.Date) []Outing {
	list := make([]Outing, len(rows))
	for i, o := range rows {
		list[i] = Outing{o.ID, o.Tag, o.Item, o.Holder, o.Place, o.TakenAt.String(), o.UntilOn, max(0, o.UntilOn.DaysUntil(today))}
	}
	return list
}

func (d *DeskAnswer) loadUseFirst(ctx context.Context, s *store.Store, m moment) error {
	alike, err := s.OnHandAlike(ctx)
	if err != nil {
		return err
	}
	rows := make([]models.Cylinder, len(alike))
	for i, a := range alike {
		rows[i] = a.Cylinder
	}
	v, list, err := look(ctx, s, m, rows)
	if err != nil {
		return err
	}
	d.UseFirst = []UseFirst{}
	for i, c := range list {
		u := v.useBy(c, "")
		if u.Undated || shelf.DaysLeft(u.ExpiresOn, m.today) > int(m.settings.ExpiringDays) {
			continue
		}
		d.Expiring += alike[i].Number
		d.UseFirst = append(d.UseFirst, UseFirst{c.Tag, alike[i].Number, c.item.Code, c.lot.Lot.Lot, whereabouts(c), u.ExpiresOn, shelf.DaysLeft(u.ExpiresOn, m.today), u.Words})
	}
	slices.SortStableFunc(d.UseFirst, func(a, b UseFirst) int { return cmp.Compare(a.ExpiresOn, b.ExpiresOn) })
	d.UseFirst = d.UseFirst[:min(len(d.UseFirst), mostUseFirst)]
	return nil
}

// whereabouts is the place, or who has it.
func whereabouts(c cylinder) string {
	if c.holder != "" {
		return "with " + c.holder
	}
	return c.place
}

func (d *DeskAnswer) loadTasks(ctx context.Context, s *store.Store, by auth.Person) error {
	tasks, err := s.OpenTasks(ctx, string(by.Role), by.Role == auth.Supervisor)
	d.Tasks = make([]Waiting, len(tasks))
	for i, t := range tasks {
		d.Tasks[i] = Waiting{t.ID, t.Subject, t.Text, t.OpenedAt.String(), t.Kind}
	}
	return err
}

func (d *DeskAnswer) loadHolds(ctx context.Context, s *store.Store, by auth.Person) error {
	d.Holds = []Waiting{}
	var err error
	if d.OnHold, err = s.CountHolds(ctx); err != nil {
		return err
	}
	theirs := only(holdReasons, func(reason string) bool { return waitsFor(by, reason) })
	if len(theirs) == 0 {
		return nil
	}
	holds, err := s.HoldsAfter(ctx, theirs, 0, mostHolds)
	for _, h := range holds {
		d.Holds = append(d.Holds, Waiting{h.ID, h.OnKind + " " + h.OnName, h.Text, h.PlacedAt.String(), h.Reason})
	}
	return err
}

// waitsFor tells whether a hold is for this person to settle: to release it, or to chase the certificate that does.
func waitsFor(by auth.Person, reason string) bool {
	return by.CheckRelease(reason) == nil || reason == CertificateMissing && auth.Can(by.Role, auth.FileCertificate)
}
