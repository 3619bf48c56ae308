package stock

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// Whatever people do one after the other, the ledger explains what is there. The same request again has the same answer and
// no further effect, and what is refused changes nothing.
func TestTheLedgerExplainsWhateverHappens(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		w := &randomActs{harrowmere: withConsumables(t, s), done: map[string]int{}}
		w.receive(q4("7K-2206", 3))
		rapid.Check(t, func(r *rapid.T) {
			for range 4 {
				w.step(r)
			}
			w.verify()
		})
		for _, d := range deeds {
			if w.done[d.name] == 0 {
				t.Errorf("%s never went through: %v", d.name, w.done)
			}
		}
	})
}

// randomActs plays acts at random, and counts those that went through.
type randomActs struct {
	*harrowmere
	acts int
	done map[string]int
}

type deed struct {
	name string
	do   func(w *randomActs, r *rapid.T) func(act auth.Act) (any, error)
}

var deeds = []deed{
	{"receive", (*randomActs).receives}, {"move", (*randomActs).moves}, {"hold", (*randomActs).holds}, {"release", (*randomActs).releases},
	{"read", (*randomActs).reads}, {"take", (*randomActs).takes}, {"log", (*randomActs).logs}, {"return", (*randomActs).returns},
	{"issue", (*randomActs).issues}, {"finish", (*randomActs).finishes},
}

func (w *randomActs) step(r *rapid.T) {
	d := rapid.SampledFrom(deeds).Draw(r, "deed")
	act := w.act(rapid.SampledFrom([]string{"clerk", "A", "B", "supervisor"}).Draw(r, "who"))
	w.now = w.now.Add(time.Minute)
	w.acts++
	act.Key, act.Hash = fmt.Sprint(w.acts), d.name
	do, before := d.do(w, r), w.head()
	first, err := do(act)
	if err != nil {
		if problem.KindOf(err) == "" {
			r.Fatalf("%s: %v", d.name, err)
		}
		if w.head() != before {
			r.Fatalf("%s was refused and changed something: %v", d.name, err)
		}
		return
	}
	w.done[d.name]++
	after := w.head()
	again, err := do(act)
	if err != nil || !bytes.Equal(w.json(first), w.json(again)) || w.head() != after {
		r.Fatalf("%s again: %v\n%s\n%s", d.name, err, w.json(first), w.json(again))
	}
}

func (w *randomActs) head() int64 {
	head, err := w.LastEntry(w.ctx())
	w.must(err)
	return head
}

func (w *randomActs) json(v any) []byte {
	text, err := json.Marshal(v)
	w.must(err)
	return text
}

// tag gives any cylinder.
func (w *randomActs) tag(r *rapid.T) string {
	return string(rapid.SampledFrom(w.tags("Q4")).Draw(r, "tag"))
}

// out gives any check-out, whether or not it is open.
func (w *randomActs) out(r *rapid.T) int64 {
	page, err := w.Checkouts(w.ctx(), CheckoutFilter{Open: rapid.IntRange(0, 9).Draw(r, "open") > 0})
	if w.must(err); len(page.Rows) == 0 {
		return 1
	}
	return rapid.SampledFrom(page.Rows).Draw(r, "check-out").ID
}

func pressure(r *rapid.T) unit.Typed {
	return unit.Typed(fmt.Sprintf("%d bar", rapid.IntRange(1, 70).Draw(r, "bar")))
}

// reasons answers every ask, or none.
func reasons(r *rapid.T) map[string]string {
	if rapid.IntRange(0, 4).Draw(r, "silent") == 0 {
		return nil
	}
	cause := rapid.SampledFrom(append(ReturnCauses(), "not found")).Draw(r, "cause")
	return map[string]string{"R2": cause, "R16": cause, "R20": cause, "R32": cause, "R34": cause, "R42": cause}
}

func (w *randomActs) receives(r *rapid.T) func(auth.Act) (any, error) {
	o := q4(rapid.SampledFrom([]string{"7K-2206", "7K-2207", "7K22O6"}).Draw(r, "lot"), 1)
	o.Cylinders = []ReceiveCylinder{{Checks: ReceiveChecks{Leaking: rapid.Bool().Draw(r, "leaking"), Dents: rapid.Bool().Draw(r, "dents")}}}
	o.Reasons = reasons(r)
	if rapid.Bool().Draw(r, "bare") {
		o.Certificate = nil
	}
	return func(act auth.Act) (any, error) { return w.Receive(w.ctx(), act, o) }
}

func (w *randomActs) moves(r *rapid.T) func(auth.Act) (any, error) {
	o := MoveOrder{Tag: w.tag(r), Place: rapid.SampledFrom([]string{"CAGE", "VAN-1", "CAB-T", "BENCH"}).Draw(r, "place"), Reasons: reasons(r)}
	return func(act auth.Act) (any, error) { return w.Move(w.ctx(), act, o) }
}

func (w *randomActs) holds(r *rapid.T) func(auth.Act) (any, error) {
	on := HoldOn{onCylinder, unit.Typed(w.tag(r))}
	if rapid.IntRange(0, 3).Draw(r, "other") == 0 {
		on = rapid.SampledFrom([]HoldOn{{onLot, "2"}, {onItem, "FEP"}, {onRegulator, "R-01"}}).Draw(r, "on")
	}
	o := HoldOrder{On: on, Reason: rapid.SampledFrom(holdReasons).Draw(r, "reason")}
	return func(act auth.Act) (any, error) { return w.Hold(w.ctx(), act, o) }
}

func (w *randomActs) releases(r *rapid.T) func(auth.Act) (any, error) {
	standing, err := w.Holds(w.ctx(), HoldsQuestion{Limit: mostRows})
	w.must(err)
	o := ReleaseOrder{ID: 1, Evidence: "C-881, looked at", Until: "2027-12-01"}
	if len(standing.Rows) > 0 {
		o.ID = rapid.SampledFrom(standing.Rows).Draw(r, "hold").ID
	}
	return func(act auth.Act) (any, error) { return w.Release(w.ctx(), act, o) }
}

func (w *randomActs) reads(r *rapid.T) func(auth.Act) (any, error) {
	o := ReadingOrder{Tag: w.tag(r), Pressure: pressure(r), Temperature: rapid.SampledFrom([]unit.Typed{"", "cold", "room", "21 C"}).Draw(r, "temperature"),
		Gauge: "digital", HoldLeak: rapid.Bool().Draw(r, "hold"), Reasons: reasons(r)}
	return func(act auth.Act) (any, error) { return w.Reading(w.ctx(), act, o) }
}

func (w *randomActs) takes(r *rapid.T) func(auth.Act) (any, error) {
	o := CheckOutOrder{TakeOrder: forBumps(rapid.Int64Range(1, 40).Draw(r, "bumps")), Cylinder: w.tag(r), Reasons: reasons(r)}
	if a := w.recommend(o.TakeOrder); a.Pick != nil && rapid.IntRange(0, 3).Draw(r, "pick") > 0 {
		o.Cylinder = string(a.Pick.Tag)
	}
	if rapid.Bool().Draw(r, "regulator") {
		o.Regulator = "R-01"
	}
	return func(act auth.Act) (any, error) { return w.CheckOut(w.ctx(), act, o) }
}

func (w *randomActs) logs(r *rapid.T) func(auth.Act) (any, error) {
	o := TestLogOrder{Checkout: w.out(r), Instrument: "D-001", Procedure: "bump-q4", Result: rapid.SampledFrom([]string{Pass, Fail}).Draw(r, "result"),
		Attempts: rapid.Int64Range(0, 3).Draw(r, "attempts"), AsFound: "H2S < 24 ppm & steady"}
	return func(act auth.Act) (any, error) { return w.LogTests(w.ctx(), act, o) }
}

func (w *randomActs) returns(r *rapid.T) func(auth.Act) (any, error) {
	o := ReturnOrder{Checkout: w.out(r), Gauge: "digital", Spent: rapid.IntRange(0, 9).Draw(r, "spent") == 0, Opened: rapid.Bool().Draw(r, "opened"), Reasons: reasons(r)}
	if rapid.Bool().Draw(r, "gauge") {
		o.Pressure = pressure(r)
	}
	if rapid.Bool().Draw(r, "late tests") {
		o.Tests = []TestLogOrder{{Instrument: "D-001", Procedure: "bump-q4", Result: Pass, Attempts: 2}}
	}
	return func(act auth.Act) (any, error) { return w.Return(w.ctx(), act, o) }
}

func (w *randomActs) issues(r *rapid.T) func(auth.Act) (any, error) {
	o := rapid.SampledFrom([]IssueOrder{{Item: "FILTER-H", Counted: 3, Place: "CAGE"}, {Item: "FEP", Quantity: "1.5 m", Place: "CAGE"}, {Item: "CAP-S", Counted: 1, Place: "VAN-1"}}).Draw(r, "issue")
	return func(act auth.Act) (any, error) { return w.Issue(w.ctx(), act, o) }
}

func (w *randomActs) finishes(r *rapid.T) func(auth.Act) (any, error) {
	id := int64(1)
	if tasks := w.desk("supervisor").Tasks; len(tasks) > 0 {
		id = rapid.SampledFrom(tasks).Draw(r, "task").ID
	}
	return func(act auth.Act) (any, error) { return w.FinishTask(w.ctx(), act, id) }
}
