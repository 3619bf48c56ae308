package views

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestStatic(t *testing.T) {
	for name, want := range map[string]string{"app.css": "text/css; charset=utf-8", "scan.js": "text/javascript; charset=utf-8", "form.js": "text/javascript; charset=utf-8", "icon.svg": "image/svg+xml"} {
		content, mime, etag, ok := Static(name)
		if !ok || mime != want || len(content) == 0 || !regexp.MustCompile(`^"[0-9a-f]{32}"$`).MatchString(etag) {
			t.Errorf("%s: %d bytes, %s, %s, %t", name, len(content), mime, etag, ok)
		}
		if address, err := asset(name); err != nil || !strings.HasPrefix(address, "/static/"+name+"?v="+etag[1:9]) {
			t.Errorf("asset %s: %s, %v", name, address, err)
		}
	}
	for _, name := range []string{"", "none.css", "../views.go", "static/app.css"} {
		if _, _, _, ok := Static(name); ok {
			t.Errorf("Static(%q) found something", name)
		}
	}
	if _, err := asset("none.css"); err == nil {
		t.Error("a page may point to a file that is not there")
	}
}

func stylesheet(t *testing.T) string {
	t.Helper()
	content, _, _, ok := Static("app.css")
	if !ok {
		t.Fatal("no stylesheet")
	}
	return regexp.MustCompile(`(?s)/\*.*?\*/`).ReplaceAllString(string(content), "")
}

func TestStylesheetNeedsNothingFromOutside(t *testing.T) {
	if found := regexp.MustCompile(`(?i)@import|@font-face|url\(`).FindString(stylesheet(t)); found != "" {
		t.Errorf("the stylesheet has %s", found)
	}
}

// Nothing is wider than the smallest screen, so no page scrolls sideways at 320 px.
func TestStylesheetFitsTheSmallestScreen(t *testing.T) {
	const smallest = 320.0
	pixels := map[string]float64{"px": 1, "rem": 16, "mm": 96 / 25.4, "ch": 8}
	width := regexp.MustCompile(`(?:^|[;{\s])(?:min-)?width:\s*([\d.]+)(px|rem|mm|ch)\s*[;}]`)
	found := width.FindAllStringSubmatch(stylesheet(t), -1)
	if len(found) < 5 {
		t.Fatalf("only %d widths are found; the test reads the stylesheet wrongly", len(found))
	}
	for _, m := range found {
		n, err := strconv.ParseFloat(m[1], 64)
		if err != nil || n*pixels[m[2]] > smallest {
			t.Errorf("%s is wider than %g px (%v)", strings.TrimSpace(m[0]), smallest, err)
		}
	}
}

// luminance and contrast are those of WCAG 2.2.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	var sum float64
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	la, lb := luminance(t, a), luminance(t, b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestColoursAreReadable(t *testing.T) {
	blocks := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(stylesheet(t), 2)
	if len(blocks) != 2 {
		t.Fatalf("%d blocks of tokens, want light and dark", len(blocks))
	}
	for i, scheme := range []string{"light", "dark"} {
		tokens := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(blocks[i][1], -1) {
			tokens[m[1]] = m[2]
		}
		for _, ground := range []string{"paper", "card"} {
			for _, text := range []string{"ink", "soft", "act", "stop", "ask", "note", "ready"} {
				if c := contrast(t, tokens[text], tokens[ground]); c < 6.4 {
					t.Errorf("%s: %s on %s has %.2f : 1", scheme, text, ground, c)
				}
			}
		}
		for text, ground := range map[string]string{"ink": "tape", "ready": "tape", "on-act": "act"} {
			if c := contrast(t, tokens[text], tokens[ground]); c < 4.5 {
				t.Errorf("%s: %s on %s has %.2f : 1", scheme, text, ground, c)
			}
		}
	}
}

// Each class of layout and parts has a rule in the stylesheet; plain is how a control looks anyway.
func TestClassesOfThePartsHaveARule(t *testing.T) {
	css := stylesheet(t)
	seen := map[string]bool{"plain": true}
	for name := range partTries {
		page := try(t, partTries[name].call, hostilePage())
		for _, m := range regexp.MustCompile(`class="([a-z][a-z0-9 -]*)"`).FindAllStringSubmatch(page, -1) {
			for class := range strings.FieldsSeq(m[1]) {
				if !seen[class] && !regexp.MustCompile(`\.`+class+`[\s,.:>{\[)]`).MatchString(css) {
					t.Errorf("%s: nothing in the stylesheet for .%s", name, class)
				}
				seen[class] = true
			}
		}
	}
}
