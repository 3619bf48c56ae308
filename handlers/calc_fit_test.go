package handlers

import (
	"fmt"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

// What stands against a set is answered in the words of the description; what is wrong with a question is told with its fields.
func TestFitCalculator(t *testing.T) {
	const rest = `,"tubing":{"material":"PVC","length_m":0.6},"instrument":{"sampling":"pumped","flow_l_min":0.45}}`
	h := newHouse(t, "2026-11-24T09:00:00Z")
	answer := h.must(auth.Viewer, "POST", "/calc/fit", `{"cylinder":{"outlet":"600","components":["H2S","N2"],"fill_bar":69},
		"regulator":{"inlet":"C-10","max_bar":103,"mode":"fixed","flow_l_min":1,"body":"brass","vented":false,"adapter":{"from":"600","to":"C-10","max_bar":34.5}}`+rest)
	if got := fmt.Sprint(answer["ok"], answer["reasons"]); got != "false [flow_high pressure_rating regulator_material tubing_material]" {
		t.Errorf("got %s", got)
	}
	wrong := h.call(auth.Viewer, "POST", "/calc/fit", `{"cylinder":{"outlet":"pipe","components":["N2"],"fill_bar":-69},"regulator":{"inlet":"C-10","max_bar":103,"mode":"fixed"}`+rest)
	for _, field := range []string{"cylinder.outlet", "cylinder.fill_bar", "regulator.flow_l_min"} {
		if wrong.Status != 422 || !strings.Contains(wrong.Text, `"`+field+`"`) {
			t.Errorf("%s: %d %s", field, wrong.Status, wrong.Text)
		}
	}
}
