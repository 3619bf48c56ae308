package stock

import (
	"testing"

	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/models"
)

func TestMoveIsWrittenDownTwice(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		h := settle(t, s)
		tag := h.receive(q4("7K-2206", 1))[0]
		answer, err := h.Move(t.Context(), h.act("clerk"), MoveOrder{Tag: tag, Place: "VAN-1"})
		if err != nil || answer.Place != "VAN-1" || answer.Version != 2 {
			t.Fatalf("%+v %v", answer, err)
		}
		a := h.one(tag)
		if a.Place != "VAN-1" || a.Ledger[0].Text != "move: put at VAN-1" || a.Ledger[1].Text != "move: away from CAGE" {
			t.Errorf("%s: %+v", a.Place, a.Ledger[:2])
		}
		h.verify()
	})
}

func TestMoveRefuses(t *testing.T) {
	h := settle(t, storetest.New(t))
	tags := h.receive(q4("7K-2206", 2))
	h.give(tags[1], "A")
	old := int64(7)
	for _, c := range []struct {
		name  string
		order MoveOrder
		kind  problem.Kind
		part  string
	}{
		{"what somebody has", MoveOrder{Tag: tags[1], Place: "VAN-1"}, problem.Conflict, "is with A since 08:00"},
		{"where it is", MoveOrder{Tag: tags[0], Place: "CAGE"}, problem.Conflict, "is at CAGE already"},
		{"a stale page", MoveOrder{Tag: tags[0], Place: "VAN-1", Version: &old}, problem.Conflict, "is at version 1 now"},
		{"an unknown place", MoveOrder{Tag: tags[0], Place: "ATTIC"}, problem.Invalid, `place: there is no place "ATTIC"`},
		{"no place", MoveOrder{Tag: tags[0]}, problem.Invalid, "place: "},
		{"no cylinder", MoveOrder{Tag: "2222-222A", Place: "VAN-1"}, problem.Missing, "2222-222A"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := h.Move(t.Context(), h.act("clerk"), c.order)
			h.wants(err, c.kind, c.part)
		})
	}
	h.alter(tags[0], func(c *models.Cylinder) { c.Stage, c.PlaceID = Gone, nil })
	_, err := h.Move(t.Context(), h.act("clerk"), MoveOrder{Tag: tags[0], Place: "VAN-1"})
	h.wants(err, problem.Conflict, "is gone")
}

// A place that is full asks for a reason, which the ledger keeps (R42).
func TestMoveToAFullPlaceAsks(t *testing.T) {
	h := settle(t, storetest.New(t))
	order := q4("7K-2206", 4)
	order.Place = "CAB-T"
	h.receive(order)
	tag := h.receive(q4("7K-2206", 1))[0]
	_, err := h.Move(t.Context(), h.act("clerk"), MoveOrder{Tag: tag, Place: "CAB-T"})
	h.wants(err, problem.Refused, "R42")
	reasons := map[string]string{"R42": "the cage is locked"}
	answer, err := h.Move(t.Context(), h.act("clerk"), MoveOrder{Tag: tag, Place: "CAB-T", Reasons: reasons})
	if err != nil || len(answer.Findings) != 1 {
		t.Fatalf("%+v %v", answer, err)
	}
	if got := h.one(tag).Ledger[0].Reason; got != "R42: the cage is locked" {
		t.Errorf("the ledger says %q", got)
	}
}

func TestTheSameMoveTwiceMovesOnce(t *testing.T) {
	h := settle(t, storetest.New(t))
	tag := h.receive(q4("7K-2206", 1))[0]
	act := h.act("clerk")
	act.Key, act.Hash = "tap", "move to VAN-1"
	first, err := h.Move(t.Context(), act, MoveOrder{Tag: tag, Place: "VAN-1"})
	if err != nil {
		t.Fatal(err)
	}
	again, err := h.Move(t.Context(), act, MoveOrder{Tag: tag, Place: "VAN-1"})
	if err != nil || again.Version != first.Version || h.one(tag).Version != 2 {
		t.Errorf("first %+v, again %+v %v", first, again, err)
	}
}
