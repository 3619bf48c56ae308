package stock

import (
	"fmt"

	"spanroom/internal/problem"
)

// counted compares what was counted with the delivery note (R5a). Stock gets what was counted. There is nothing yet to
// compare an order with; its number is written on the receipt.
func counted(n int64, noted *int64, what, order string) []problem.Finding {
	var found []problem.Finding
	note := func(text, advice string) {
		found = append(found, problem.Finding{Rule: "R5a", Severity: problem.Note, Subject: "count", Text: text, Advice: advice})
	}
	switch {
	case noted == nil || *noted == n:
	case *noted > n:
		note(fmt.Sprintf("%s noted, %d counted: %d short", several(*noted, what), n, *noted-n), "stock gets what was counted; claim the rest from the supplier")
	default:
		note(fmt.Sprintf("%s noted, %d counted: %d over", several(*noted, what), n, n-*noted), "stock gets what was counted; tell the purchaser")
	}
	if order != "" {
		note("order "+order+" is written on the receipt; nothing is compared with it", "compare item, number and price with the order by hand")
	}
	return found
}

// bought notes a supplier from whom the item is not bought as far as the catalogue knows.
func (k known) bought(d delivery) []problem.Finding {
	if k.source != nil {
		return nil
	}
	return []problem.Finding{{
		Rule: "R5b", Severity: problem.Note, Subject: d.item.Code, Text: d.supplier.Name + " is not among its sources in the catalogue",
		Advice: "compare the label with the order; no minimum life is agreed, so none is checked",
	}}
}

func several(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
