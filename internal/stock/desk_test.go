package stock

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

func (h *harrowmere) desk(name string) DeskAnswer {
	h.t.Helper()
	d, err := h.Desk(h.ctx(), h.people[name])
	h.must(err)
	return d
}

// What is out is not told as standing on the shelf with the rest of its lot, nor is what stands at another place.
func TestUseFirstTellsWhereEachIs(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		o := q4("SOON", 5)
		o.LabelExpiresOn, o.Certificate.ExpiresOn = "2027-03-10", "2027-03-10"
		tags := h.receive(o)
		h.receive(q4("LATE", 2))
		h.take("A", tags[0], 1)
		if _, err := h.Move(h.ctx(), h.act("clerk"), MoveOrder{Tag: tags[1], Place: "VAN-1"}); err != nil {
			t.Fatal(err)
		}
		d := h.desk("clerk")
		var got []string
		for _, u := range d.UseFirst {
			got = append(got, fmt.Sprintf("%d %s %s", u.Number, u.Lot, u.Place))
		}
		if d.Expiring != 5 || strings.Join(got, ", ") != "1 SOON with A, 1 SOON VAN-1, 3 SOON CAGE" {
			t.Errorf("%d expire: %q", d.Expiring, got)
		}
	})
}

func TestS56WhoIsRemindedOfWhatIsLate(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := onRounds(t, s)
		h.take("A", h.receive(q4("7K-2206", 1))[0], 1)
		for days, want := range []string{"", "A", "A", "A clerk", "A clerk", "A clerk", "A clerk", "A clerk supervisor"} {
			var reminded []string
			for _, name := range []string{"A", "B", "clerk", "purchaser", "supervisor"} {
				if d := h.desk(name); len(d.Remind) == 1 && d.Remind[0].LateDays == days {
					reminded = append(reminded, name)
				}
			}
			if got := strings.Join(reminded, " "); got != want {
				t.Errorf("%d days after: %q, want %q", days, got, want)
			}
			h.now = h.now.AddDate(0, 0, 1)
		}
	})
}

func TestTheDeskShowsTheHoldsThatOneMayRelease(t *testing.T) {
	h := settle(t, storetest.New(t))
	h.hold("A", "item", "Q4", Recalled)
	h.hold("A", "item", "Q4", ShortDated)
	for name, want := range map[string]string{"A": "", "purchaser": ShortDated, "supervisor": Recalled + " " + ShortDated} {
		d := h.desk(name)
		var got []string
		for _, w := range d.Holds {
			got = append(got, w.Kind)
		}
		if d.OnHold != 2 || strings.Join(got, " ") != want {
			t.Errorf("%s: %d holds stand, may release %q, want %q", name, d.OnHold, got, want)
		}
	}
}

func TestTasksWaitForTheirRole(t *testing.T) {
	h := onRounds(t, storetest.New(t))
	_, id := h.outWith(40)
	h.log("A", id, 1)
	h.back("A", ReturnOrder{Checkout: id})
	if d := h.desk("B"); len(d.Tasks) != 0 {
		t.Errorf("a technician has %+v", d.Tasks)
	}
	task := h.desk("clerk").Tasks[0]
	_, err := h.FinishTask(h.ctx(), h.act("B"), task.ID)
	h.wants(err, problem.Forbidden, "this is for a clerk")
	if done, err := h.FinishTask(h.ctx(), h.act("clerk"), task.ID); err != nil || done.Text != task.Text {
		t.Errorf("%+v %v", done, err)
	}
	_, err = h.FinishTask(h.ctx(), h.act("supervisor"), task.ID)
	h.wants(err, problem.Conflict, "somebody finished this")
	if d := h.desk("clerk"); len(d.Tasks) != 0 {
		t.Errorf("still waiting: %+v", d.Tasks)
	}
	h.verify()
}
