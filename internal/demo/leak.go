package demo

import (
	"context"
	"fmt"

	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// hearHissing holds the four-gas that is in use, and lets the clerk read its gauge.
func (h *house) hearHissing(ctx context.Context) error {
	c, err := h.opened(ctx, fourGas)
	if err != nil || c == nil {
		return err
	}
	h.suspect = c.Tag
	if err := h.hold(ctx, technicianA, "cylinder", string(h.suspect), stock.LeakSuspected, "it hissed when the regulator came off"); err != nil {
		return err
	}
	return h.read(ctx, h.suspect)
}

// findNoLeak reads the suspect again a day later and lets it go.
func (h *house) findNoLeak(ctx context.Context) error {
	if h.suspect == "" {
		return nil
	}
	if err := h.read(ctx, h.suspect); err != nil {
		return err
	}
	c, err := h.stock().Cylinder(ctx, string(h.suspect), stock.CylinderQuestion{})
	if err != nil {
		return err
	}
	return h.release(ctx, supervisor, c.Holds, stock.LeakSuspected, "soap showed nothing, and a second reading after 24 h shows no drop")
}

// read lets the clerk put a gauge on a cylinder; it shows what is known already.
func (h *house) read(ctx context.Context, tag unit.Tag) error {
	c, err := h.stock().Cylinder(ctx, string(tag), stock.CylinderQuestion{})
	if err != nil {
		return err
	}
	if c.PressureBar == nil {
		return fmt.Errorf("the pressure of %s is not known", tag)
	}
	_, err = h.stock().Reading(ctx, h.as(clerk), stock.ReadingOrder{Tag: string(tag), Pressure: bar(*c.PressureBar), Temperature: "room", Gauge: "digital"})
	return err
}

func (h *house) hold(ctx context.Context, by, kind, id, reason, text string) error {
	_, err := h.stock().Hold(ctx, h.as(by), stock.HoldOrder{On: stock.HoldOn{Kind: kind, ID: unit.Typed(id)}, Reason: reason, Text: text})
	return err
}

// release ends a hold of a reason among those that stand.
func (h *house) release(ctx context.Context, by string, holds []stock.HoldAnswer, reason, evidence string) error {
	for _, hold := range holds {
		if hold.Reason == reason {
			_, err := h.stock().Release(ctx, h.as(by), stock.ReleaseOrder{ID: hold.ID, Evidence: evidence})
			return err
		}
	}
	return fmt.Errorf("there is no hold for %q to release", reason)
}
