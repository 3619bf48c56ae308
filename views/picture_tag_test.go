package views

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/boombuler/barcode/qr"
)

var run = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1`)

// The picture has to be black exactly where the code is.
func TestTagCodeIsTheCode(t *testing.T) {
	const tag = "7F3K-2Q1A"
	picture, err := tagCode(tag)
	if err != nil {
		t.Fatal(err)
	}
	code, err := qr.Encode(tag, qr.H, qr.AlphaNumeric)
	if err != nil {
		t.Fatal(err)
	}
	size := code.Bounds().Dx()
	if size != 21 {
		t.Errorf("a tag takes %d modules, and the smallest code has 21", size)
	}
	drawn := map[[2]int]bool{}
	for _, m := range run.FindAllStringSubmatch(string(picture), -1) {
		x, _ := strconv.Atoi(m[1])
		y, _ := strconv.Atoi(m[2])
		for n, _ := strconv.Atoi(m[3]); n > 0; n-- {
			drawn[[2]int{x + n - 1 - quiet, y - quiet}] = true
		}
	}
	for y := range size {
		for x := range size {
			r, _, _, _ := code.At(x, y).RGBA()
			if drawn[[2]int{x, y}] != (r == 0) {
				t.Fatalf("module %d,%d is wrong", x, y)
			}
		}
	}
	if corner := [2]int{0, 0}; !drawn[corner] {
		t.Error("the finder at the corner is not drawn")
	}
}

func TestTagCodeTakesTagsAlone(t *testing.T) {
	if picture, err := tagCode(`<script>`); err == nil {
		t.Errorf("drawn: %s", picture)
	}
}
