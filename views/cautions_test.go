package views

import "testing"

func TestCautions(t *testing.T) {
	two, err := caution(2, code("H2S 24.6 ppm"))
	if err != nil || two.Detail != "It must read: H2S 24.6 ppm" {
		t.Errorf("%+v, %v", two, err)
	}
	all, err := cautions(two, 8, Cautions(9, 99))
	if err != nil || len(all) != 3 || all[0] != two || !all[1].Loud || all[2].Number != 9 || all[2].Loud {
		t.Errorf("%+v, %v", all, err)
	}
	for _, wrong := range []any{0, 99, "2", nil} {
		if got, err := cautions(wrong); err == nil {
			t.Errorf("cautions(%v) = %v", wrong, got)
		}
	}
	for n := 1; n <= 20; n++ {
		if got := Cautions(n); len(got) != 1 || len(got[0].Text) < 20 {
			t.Errorf("caution %d: %v", n, got)
		}
	}
}
