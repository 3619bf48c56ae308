package demo

import (
	"cmp"
	"context"
	"slices"

	"spanroom/internal/stock"
)

// useUp calibrates as many monitors as the opened four-gas may just suffice for, rather than to leave a rest in it.
func (h *house) useUp(ctx context.Context) error {
	rest, err := h.opened(ctx, fourGas)
	if err != nil || rest == nil {
		return err
	}
	p := h.procedures[calQ4]
	number := int((*rest.UsableL - p.SessionL) / p.TestL)
	return h.testWith(ctx, fourGasAt("", technicianA, line{calQ4, diffusion[:min(number, len(diffusion))]}), rest.Tag)
}

// opened gives the opened cylinder of an item in which least is left, or nil.
func (h *house) opened(ctx context.Context, item string) (*stock.CylinderRow, error) {
	list, err := h.stock().Cylinders(ctx, stock.CylindersQuestion{Item: item, Stage: stock.Opened})
	if err != nil || len(list.Rows) == 0 {
		return nil, err
	}
	least := slices.MinFunc(list.Rows, func(a, b stock.CylinderRow) int { return cmp.Compare(*a.UsableL, *b.UsableL) })
	return &least, nil
}
