package handlers

import (
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"spanroom/internal/auth"
)

func TestScenariosOfOrdering(t *testing.T) {
	plan := func(gives fields, says ...string) step {
		return step{as: auth.Purchaser, do: "GET /reorder", gives: gives, page: says}
	}
	play(t, []scenario{
		{name: "S59 what expires before its use is not counted", steps: steps(
			brought("A", "Q4", 4, "2026-10-01", "2027-03-24"), brought("B", "Q4", 5, "2026-10-01", "2027-12-01"),
			plan(fields{"lines.Q4.on_hand": 9, "lines.Q4.usable": about(6.62), "lines.Q4.will_expire": about(2.38), "lines.Q4.forecast.per_week": about(0.54), "lines.Q4.lots.0.will_expire": about(2.38), "lines.Q4.lots.1.will_expire": 0}),
		)},
		{name: "S60 the reorder level is reached today", steps: steps(
			brought("A", "Q4", 5, "2026-12-01", "2028-03-01"),
			plan(fields{"lines.Q4.usable": 5, "lines.Q4.level": about(5.16), "lines.Q4.state": "order now", "lines.Q4.order_by": "2027-03-03", "lines.Q4.needed_by": "2027-04-14", "lines.Q4.proposed": 6}),
			step{as: auth.Supervisor, do: "POST /settings", body: settingsWith(`"service":0.99`)},
			plan(fields{"lines.Q4.level": about(5.73)}),
		)},
		{name: "S62 the least order is more than will be used", steps: steps(
			plan(fields{"lines.CL.state": "decide", "lines.CL.q_max": 3, "lines.CL.proposed": 0, "lines.CL.decide.why": "MOQ 6, only 3 used before use-by", "lines.CL.decide.options.moq.quantity": 6}, "delivered 3 + 3"),
			brought("A", "CL", 2, "2027-02-20", "2028-02-20"), opened("{A1}", `"pressure":"27.8 bar","temperature":"room","gauge":"digital"`), // ten weeks, four of them after an order arrives
			plan(fields{"lines.CL.q_max": 3, "lines.CL.proposed": 0, "lines.CL.fresh.older_weeks": about(10), "lines.CL.decide.options.moq.waste_units": about(2.98)}),
		)},
		{name: "S70 chasing beats ordering", steps: steps(
			step{as: auth.Clerk, do: receive, body: lot{from: "northbank", item: "Q4", lot: "B-1", n: 6, filled: "2026-12-01", expires: "2027-12-01", more: `,"certificate":{}`}.json()},
			plan(fields{"lines.Q4.on_hand": 0, "lines.Q4.usable": 0, "lines.Q4.held.0.units": 6, "lines.Q4.held.0.text": "6 more if certificate arrives", "lines.Q4.lots.0.held": "Certificate missing"},
				"6 more if certificate arrives", "chase the certificate before ordering"),
		)},
	})
}

// settingsWith are the settings of Harrowmere with one thing changed.
func settingsWith(more string) string {
	return strings.Replace(harrowmere[0].body, "}", ","+more+"}", 1)
}

// What looks like a number is text in the workbook, for whoever opens it.
func TestS67CodesStayTextInTheWorkbook(t *testing.T) {
	t.Parallel()
	h := newHarrowmere(t, morning)
	for _, order := range []lot{
		{from: "northbank", item: "Q4", lot: "3E5", n: 1, filled: "2026-12-01", expires: "2027-12-01"},
		{from: "northbank", item: "Q4", lot: "00417", n: 1, filled: "2026-12-01", expires: "2027-12-01"},
	} {
		h.must(auth.Clerk, "POST", "/receipts", order.json())
	}
	r := h.call(auth.Purchaser, "GET", "/reorder.xlsx", "")
	f, err := excelize.OpenReader(strings.NewReader(r.Text))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for sheet, wanted := range map[string][]string{"Order": {"00417", "3E5"}, "Stock by lot": {"00417", "3E5"}} {
		for _, want := range wanted {
			cells, err := f.SearchSheet(sheet, want)
			if err != nil || len(cells) == 0 {
				t.Errorf("%s has no %s: %v", sheet, want, err)
			}
			for _, cell := range cells {
				if kind, err := f.GetCellType(sheet, cell); err != nil || kind != excelize.CellTypeInlineString && kind != excelize.CellTypeSharedString {
					t.Errorf("%s %s, %s, is of type %v: %v", sheet, cell, want, kind, err)
				}
			}
		}
	}
	if cells, err := f.SearchSheet("Stock by lot", `^3\.?0*E\+0?5$|^300000$`, true); err != nil || len(cells) > 0 {
		t.Errorf("a lot became a number at %v, %v", cells, err)
	}
}
