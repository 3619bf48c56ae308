package demo

import (
	"context"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// mishaps are what comes between the deliveries and the rounds.
func (h *house) mishaps() []scene {
	scenes := []scene{
		{-182, "10:00", "the supervisor learns about opened gas", func(ctx context.Context) error {
			return h.change(ctx, func(s *catalogue.Settings) { s.GraceDays = graceNow })
		}},
		{-150, "11:10", "four-gas becomes dearer", h.reprice},
		{-120, "16:00", "a regulator is set aside", func(ctx context.Context) error {
			return h.hold(ctx, supervisor, "regulator", weak, stock.Management, "rated 500 psi: it stays away from cylinders of 69 bar")
		}},
		{-90, "16:00", "a leak is suspected", h.hearHissing},
		{-89, "16:30", "no leak is found", h.findNoLeak},
		{-76, "14:00", "a rest is used up", h.useUp},
		{-12, "08:30", "ammonia goes to Coldholm", h.forget},
		{0, "07:12", "a round has begun", h.begin},
	}
	for day := -337; day < -28; day += 28 { // what came since waits still
		scenes = append(scenes, scene{day, "17:00", "tasks", h.clearDesks})
	}
	return append(scenes, scene{-29, "17:00", "tasks", h.clearDesks})
}

// reprice writes a new version of the item, with which the plan reckons since.
func (h *house) reprice(ctx context.Context) error {
	return amend(ctx, h, purchaser, "items", fourGas, func(i *catalogue.Item) { i.Sources[0].Price = priceNow })
}

// clearDesks lets clerk and purchaser do what others left to them.
func (h *house) clearDesks(ctx context.Context) error {
	for _, who := range []string{clerk, purchaser} {
		desk, err := h.stock().Desk(ctx, h.people[who])
		if err != nil {
			return err
		}
		for _, task := range desk.Tasks {
			if err := h.do(ctx, who, task); err != nil {
				return err
			}
		}
	}
	return nil
}

func (h *house) do(ctx context.Context, who string, task stock.Waiting) error {
	if tag, isCylinder := strings.CutPrefix(task.Subject, "cylinder:"); isCylinder && task.Kind == "read_gauge" {
		if err := h.read(ctx, unit.Tag(tag)); err != nil {
			return err
		}
	}
	_, err := h.stock().FinishTask(ctx, h.as(who), task.ID)
	return err
}
