package handlers

import (
	"context"
	"fmt"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/stock"
	"spanroom/internal/unit"
)

// labelsPage is the labels of a delivery with the number of each print.
type labelsPage struct {
	receiptPage
	Prints map[unit.Tag]int64
}

// labels shows the labels of a delivery for printing: all of them, or that of one tag.
func (a *app) labels(c *fiber.Ctx) error {
	answer, err := a.receiptOf(c)
	if err != nil {
		return err
	}
	tag := queryText(c, "tag")
	var chosen []stock.ReceiptCylinder
	var tags []unit.Tag
	for _, cylinder := range answer.Cylinders {
		if tag == "" || string(cylinder.Tag) == tag {
			chosen, tags = append(chosen, cylinder), append(tags, cylinder.Tag)
		}
	}
	answer.Cylinders = chosen
	prints, err := a.Stock.Labels(c.UserContext(), tags...)
	return a.show(c, "labels", labelsPage{receiptPage{ReceiptAnswer: answer}, prints}, err)
}

// printLabel gives a cylinder another label.
func (a *app) printLabel(c *fiber.Ctx) error {
	tag := c.Params("tag")
	do := func(ctx context.Context, act auth.Act, o stock.LabelOrder) (stock.LabelAnswer, error) {
		o.Tag = tag
		return a.Stock.PrintLabel(ctx, act, o)
	}
	to := func(l stock.LabelAnswer) string {
		return toCylinder(string(l.Tag), fmt.Sprintf("Label %d of it counts now; an older one is void.", l.Print))
	}
	return write(a, c, do, to, a.cylinderForm(tag, "label", 0))
}
