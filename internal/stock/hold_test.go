package stock

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

func (h *harrowmere) hold(by, kind, id, reason string) PlacedHold {
	h.t.Helper()
	answer, err := h.Hold(h.ctx(), h.act(by), HoldOrder{On: HoldOn{kind, unit.Typed(id)}, Reason: reason, Text: "as seen"})
	if err != nil {
		h.t.Fatal(err)
	}
	return answer
}

func TestHoldOnEverySortOfThing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tag := h.receive(q4("7K-2206", 2))[0]
		lot := h.one(tag).LotID
		for _, c := range []struct{ kind, id, name string }{
			{"cylinder", strings.ToLower(tag), tag}, {"lot", fmt.Sprint(lot), "7K-2206"}, {"item", "Q4", "Q4"}, {"regulator", "R-01", "R-01"},
		} {
			placed := h.hold("A", c.kind, c.id, Management)
			if placed.OnKind != c.kind || placed.OnName != c.name || placed.By != "A" || placed.Caution != "" {
				t.Errorf("%+v", placed)
			}
			_, err := h.Hold(t.Context(), h.act("B"), HoldOrder{On: HoldOn{c.kind, unit.Typed(c.id)}, Reason: Management})
			h.wants(err, problem.Conflict, fmt.Sprintf("hold %d by A", placed.ID))
		}
		a := h.one(tag)
		if len(a.Holds) != 3 || a.Readiness.State != DoNotUse {
			t.Errorf("%+v", a.Holds)
		}
		contains(t, "ledger", lines(a.Ledger), "hold placed on this cylinder|hold placed on its lot|hold placed on item Q4")
		if a.Ledger[0].Reason != "Management: as seen" {
			t.Errorf("%+v", a.Ledger[0])
		}
		h.verify()
	})
}

func TestHoldRefuses(t *testing.T) {
	h := settle(t, storetest.New(t))
	for _, c := range []struct {
		order HoldOrder
		part  string
	}{
		{HoldOrder{HoldOn{"cylinder", "2222-222A"}, "Smells odd", ""}, `reason: "Smells odd" is no reason|on.id: there is no cylinder "2222-222A"`},
		{HoldOrder{HoldOn{"cylinder", "2222-2222"}, Recalled, ""}, "on.id: "},
		{HoldOrder{HoldOn{"lot", "7K-2206"}, Recalled, ""}, "on.id: |is not the number of a lot"},
		{HoldOrder{HoldOn{"lot", "999"}, Recalled, ""}, "on.id: there is no lot"},
		{HoldOrder{HoldOn{"item", "Q5"}, Recalled, ""}, "on.id: there is no item"},
		{HoldOrder{HoldOn{"van", "VAN-1"}, Recalled, ""}, "on.kind: "},
	} {
		_, err := h.Hold(t.Context(), h.act("A"), c.order)
		h.wants(err, problem.Invalid, c.part)
	}
	_, err := h.Hold(t.Context(), h.act("A"), HoldOrder{HoldOn{"item", "Q4"}, "", ""})
	if p := err.(*problem.Error); !strings.Contains(p.Fields[0].Advice, strings.Join(HoldReasons(), ", ")) {
		t.Errorf("the reasons are not listed: %+v", p.Fields)
	}
}

// A suspected leak says first what to do, and who has the cylinder is told.
func TestLeakSaysWhatToDoAndWhoHasIt(t *testing.T) {
	h := settle(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 2))
	h.give(tags[0], "A")
	placed := h.hold("B", "cylinder", tags[0], LeakSuspected)
	if !strings.Contains(placed.Caution, "leave first") || placed.Emergency != "112" {
		t.Errorf("%+v", placed)
	}
	if len(placed.Findings) != 1 || !strings.Contains(placed.Findings[0].Text, "A has it since 08:00") {
		t.Errorf("%+v", placed.Findings)
	}
	whole := h.hold("B", "lot", fmt.Sprint(h.one(tags[1]).LotID), Recalled)
	if len(whole.Findings) != 1 || whole.Findings[0].Subject != tags[0] {
		t.Errorf("%+v", whole.Findings)
	}
}

func TestHoldsOldestFirst(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		h.hold("A", "item", "Q4", Management)
		h.now = h.now.AddDate(0, 0, 3)
		h.hold("A", "item", "CL", Recalled)
		first, err := h.Holds(t.Context(), HoldsQuestion{Limit: 1})
		if err != nil || len(first.Rows) != 1 || first.Rows[0].OnName != "Q4" || first.Rows[0].Days != 3 || first.Next != first.Rows[0].ID {
			t.Fatalf("%+v %v", first, err)
		}
		rest, err := h.Holds(t.Context(), HoldsQuestion{After: first.Next})
		if err != nil || len(rest.Rows) != 1 || rest.Rows[0].OnName != "CL" || rest.Next != 0 {
			t.Errorf("%+v %v", rest, err)
		}
		if some, err := h.Holds(t.Context(), HoldsQuestion{Reason: Management}); err != nil || len(some.Rows) != 1 {
			t.Errorf("%+v %v", some, err)
		}
	})
}

func TestDecideRelease(t *testing.T) {
	person := func(name string, role auth.Role) auth.Person { return auth.Person{ID: 1, Name: name, Role: role} }
	hold := func(reason string) models.Hold { return models.Hold{ID: 4, Reason: reason, PlacedBy: "A"} }
	boss, clerk := person("S", auth.Supervisor), person("C", auth.Clerk)
	paper := &models.Certificate{Number: "C-881"}
	for _, c := range []struct {
		name     string
		ask      release
		kind     problem.Kind
		part     string
		evidence string
	}{
		{"S79 a technician may not", release{hold: hold(LeakSuspected), by: person("A", auth.Technician), evidence: "dry"}, problem.Forbidden, "may not release", ""},
		{"a supervisor on evidence", release{hold: hold(LeakSuspected), by: boss, evidence: "held 24 h", fourEyes: true}, "", "", "held 24 h"},
		{"four eyes", release{hold: hold(LeakSuspected), by: person("A", auth.Supervisor), evidence: "dry", fourEyes: true}, problem.Refused, "you placed this hold", ""},
		{"too few for four eyes", release{hold: hold(LeakSuspected), by: person("A", auth.Supervisor), evidence: "dry"}, "", "", "dry"},
		{"four eyes are not for every reason", release{hold: hold(Management), by: person("A", auth.Supervisor), evidence: "over", fourEyes: true}, "", "", "over"},
		{"no evidence", release{hold: hold(Recalled), by: boss}, problem.Invalid, "evidence: the evidence is not given", ""},
		{"released before", release{hold: models.Hold{ID: 4, Reason: Recalled, ReleasedAt: 9, ReleasedBy: "S"}, by: boss, evidence: "x"}, problem.Conflict, "was released by S already", ""},
		{"short life is the purchaser's", release{hold: hold(ShortDated), by: person("P", auth.Purchaser), evidence: "credit of 20 %"}, "", "", "credit of 20 %"},
		{"short life is not the clerk's", release{hold: hold(ShortDated), by: clerk, evidence: "fine"}, problem.Forbidden, "", ""},
		{"with the document", release{hold: hold(CertificateMissing), by: clerk, evidence: "read c-881", certificate: paper}, "", "", "read c-881"},
		{"naming another document", release{hold: hold(CertificateMissing), by: clerk, evidence: "C-882", certificate: paper}, problem.Invalid, "evidence: it does not name", ""},
		{"a document without a number", release{hold: hold(CertificateMissing), by: clerk, evidence: "letter", certificate: &models.Certificate{}}, "", "", "letter"},
		{"without the document", release{hold: hold(CertificateMissing), by: clerk, evidence: "by phone"}, problem.Refused, "no certificate of this lot is on file", ""},
		{"in an emergency", release{hold: hold(CertificateMissing), by: boss, evidence: "chlorine alarm", until: "2027-03-10", today: "2027-03-03"}, "", "", "emergency acceptance until 2027-03-10: chlorine alarm"},
		{"in an emergency, for ever", release{hold: hold(CertificateMissing), by: boss, evidence: "chlorine alarm", today: "2027-03-03"}, problem.Invalid, "until: ", ""},
		{"in an emergency, until yesterday", release{hold: hold(CertificateMissing), by: boss, evidence: "alarm", until: "2027-03-02", today: "2027-03-03"}, problem.Invalid, "until: 2 Mar 2027 is past", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			evidence, err := c.ask.decide()
			if problem.KindOf(err) != c.kind || evidence != c.evidence {
				t.Fatalf("evidence %q, error %v", evidence, err)
			}
			if err != nil {
				contains(t, string(c.kind), err.Error(), c.part)
			}
		})
	}
}

// Attaching a document releases nothing by itself, and a clerk cannot release without it (S10).
func TestCertificateMissing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		bare := q4("7K-2206", 1)
		bare.Certificate = nil
		tag := h.receive(bare)[0]
		hold := h.one(tag).Holds[0]
		_, err := h.Release(t.Context(), h.act("clerk"), ReleaseOrder{ID: hold.ID, Evidence: "C-881"})
		h.wants(err, problem.Refused, "no certificate of this lot is on file")

		h.receive(q4("7K-2206", 1)) // brings the document of the lot
		if a := h.one(tag); a.Stage != Received || a.Readiness.State != Limited {
			t.Errorf("still on hold: %s %+v", a.Stage, a.Readiness)
		}
		released, err := h.Release(t.Context(), h.act("clerk"), ReleaseOrder{ID: hold.ID, Evidence: "certificate C-881 names lot 7K-2206"})
		if err != nil || released.Released == "" {
			t.Fatalf("%+v %v", released, err)
		}
		a := h.one(tag)
		if a.Stage != Sealed || len(a.Holds) != 0 || a.Readiness.State != Usable {
			t.Errorf("%s %+v %+v", a.Stage, a.Holds, a.Readiness)
		}
		contains(t, "ledger", lines(a.Ledger), "hold released on its lot")
		_, err = h.Release(t.Context(), h.act("clerk"), ReleaseOrder{ID: hold.ID, Evidence: "again C-881"})
		h.wants(err, problem.Conflict, "released by clerk already")
		h.verify()
	})
}

func TestAnEmergencyAcceptanceIsNotForgotten(t *testing.T) {
	h := settle(t, storetest.New(t))
	bare := q4("7K-2206", 1)
	bare.Certificate = nil
	tag := h.receive(bare)[0]
	o := ReleaseOrder{ID: h.one(tag).Holds[0].ID, Evidence: "chlorine alarm at Ashbeck", Until: "2027-03-10"}
	if _, err := h.Release(t.Context(), h.act("supervisor"), o); err != nil {
		t.Fatal(err)
	}
	tasks := h.desk("supervisor").Tasks
	if len(tasks) != 1 || tasks[0].Kind != "acceptance" || h.one(tag).Stage != Sealed {
		t.Fatalf("%+v", tasks)
	}
	contains(t, "the task", tasks[0].Text, "lot 7K-2206 is accepted without a certificate until 10 Mar 2027")
}

func TestFourEyesNeedThreePeople(t *testing.T) {
	h := settle(t, storetest.New(t))
	first := h.hold("supervisor", "item", "Q4", Recalled)
	if _, err := h.Release(t.Context(), h.act("supervisor"), ReleaseOrder{ID: first.ID, Evidence: "withdrawn by letter"}); err != nil {
		t.Errorf("one supervisor alone: %v", err)
	}
	h.person("second", auth.Supervisor)
	h.person("third", auth.Supervisor)
	second := h.hold("supervisor", "item", "Q4", Recalled)
	_, err := h.Release(t.Context(), h.act("supervisor"), ReleaseOrder{ID: second.ID, Evidence: "withdrawn by letter"})
	h.wants(err, problem.Refused, "R35")
	if _, err := h.Release(t.Context(), h.act("third"), ReleaseOrder{ID: second.ID, Evidence: "withdrawn by letter"}); err != nil {
		t.Error(err)
	}
	_, err = h.Release(t.Context(), h.act("third"), ReleaseOrder{ID: 999, Evidence: "x"})
	h.wants(err, problem.Missing, "999")
}
