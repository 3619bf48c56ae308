package workbook

import (
	"os"
	"testing"
)

func TestZZ(t *testing.T) {
	raw, _ := written(t, samplePlan(t))
	os.WriteFile("/tmp/wb/plan.xlsx", raw, 0o644)
}
