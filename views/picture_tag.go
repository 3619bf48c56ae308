package views

import (
	"fmt"
	"html/template"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quiet is the white edge of a code, in modules; the label around it is white too.
const quiet = 2

// tagCode draws the code of a tag for scanners: the tag alone, no address, at the highest correction, since labels get
// wet and worn. Its text equivalent stands beside it on every label, so it is hidden from screen readers.
func tagCode(tag any) (template.HTML, error) {
	code, err := qr.Encode(text(tag), qr.H, qr.AlphaNumeric)
	if err != nil {
		return "", fmt.Errorf("the code of tag %q: %w", text(tag), err)
	}
	size := code.Bounds().Dx()
	black := func(x, y int) bool {
		r, _, _, _ := code.At(x, y).RGBA()
		return r == 0
	}
	var path strings.Builder
	for y := range size {
		for x := 0; x < size; x++ {
			from := x
			for x < size && black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	side := size + 2*quiet
	return template.HTML(fmt.Sprintf(`<svg viewBox="0 0 %d %d" shape-rendering="crispEdges" aria-hidden="true" focusable="false"><path fill="#fff" d="M0 0h%dv%dh-%dz"/><path fill="#000" d="%s"/></svg>`,
		side, side, side, side, side, path.String())), nil
}
