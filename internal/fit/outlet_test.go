package fit

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

func TestOutletsAsTyped(t *testing.T) {
	for want, typed := range map[Outlet][]string{
		"CGA 660":    {"660"},
		"CGA C-10":   {"C10", "C-10", "c 10", "CGA C-10", "cga c10", " CGA-C10 ", "CGA No. C-10"},
		"CGA 600":    {"600", "CGA 600", "cga600", "CGA-600", "CGA no 600", "CGA Nr. 600"},
		"CGA 165":    {"165"},
		"DIN 477 14": {"DIN 477 14", "din477 14", "DIN 477 Nr. 14", "DIN 477-1 Nr. 14", "DIN 14", "DIN 477-14"},
		"DIN 477 1":  {"DIN 477 1", "DIN 477 No. 1", "DIN 1", "din 477 nr 1", "DIN 477-1 Nr. 1"},
		"DIN 477 10": {"DIN 477 10", "DIN10"},
		"BS 341 3":   {"BS 341 3", "bs341 no.3", "BS 3", "BS 341-3 No. 3", "BS 341 Number 3"},
		"BS 341 14":  {"BS 341 14", "BS 14", "BS 341-14"},
	} {
		for _, text := range typed {
			if got, err := ParseOutlet(text); err != nil || got != want {
				t.Errorf("%q: got %q, %v; want %q", text, got, err, want)
			}
		}
	}
}

func refused(t *testing.T, text string) *problem.Error {
	t.Helper()
	got, err := ParseOutlet(text)
	var e *problem.Error
	if got != "" || !errors.As(err, &e) || e.Kind != problem.Invalid || e.Detail == "" || e.Advice == "" {
		t.Fatalf("%.40q: got %q, %#v", text, got, err)
	}
	return e
}

func TestOutletsThatAreAskedForOrRefused(t *testing.T) {
	for text, says := range map[string]string{
		"3":                              "choose DIN 477 3 or BS 341 3",
		"14":                             "choose DIN 477 14 or BS 341 14",
		"10":                             "choose CGA C-10 or DIN 477 10",
		"4":                              "choose BS 341 4",
		"581":                            "nearest on the list are CGA 580 or CGA 590",
		"CGA 341":                        "nearest on the list are CGA 346 or CGA 350",
		"CGA 10":                         "nearest on the list are CGA C-10 or",
		"C-11":                           "nearest on the list are CGA C-10 or",
		"DIN 477 2":                      "nearest on the list are DIN 477 1 or DIN 477 3",
		"DIN 477 99":                     "nearest on the list are DIN 477 14 or DIN 477 13",
		"BS 341 5":                       "nearest on the list are BS 341 4 or BS 341 3",
		"DIN 477-1":                      "write DIN 477 1, with a space",
		"BS 341-3":                       "write BS 341 3, with a space",
		"":                               "write the standard",
		"brass nipple":                   "write the standard",
		"CGA":                            "write the standard",
		"ISO 5145 14":                    "write the standard",
		"６００":                            "write the standard",
		"DIN 477 1 4":                    "write the standard",
		"6 00":                           "write the standard",
		"-600-600-":                      "write the standard",
		"99999999999":                    "write the standard",
		"\xff\xfe":                       "write the standard",
		"JIS M22-14 RH":                  "write the standard",
		strings.Repeat("CGA 600 ", 9000): "write the standard",
	} {
		if e := refused(t, text); !strings.Contains(e.Advice, says) {
			t.Errorf("%.40q: the advice %q does not say %q", text, e.Advice, says)
		}
	}
}

func TestEveryListedOutletReadsAsItself(t *testing.T) {
	list := Outlets()
	if len(list) == 0 || !slices.Contains(list, "CGA C-10") {
		t.Fatalf("the list is %v", list)
	}
	for i, o := range list {
		for _, text := range []string{string(o), strings.ToLower(string(o)), strings.ReplaceAll(string(o), " ", ""), strings.ReplaceAll(string(o), "-", "")} {
			if got, err := ParseOutlet(text); err != nil || got != o {
				t.Errorf("%q: got %q, %v; want %q", text, got, err, o)
			}
		}
		if slices.Contains(list[:i], o) {
			t.Errorf("%s is listed twice", o)
		}
	}
	list[0] = "spoiled"
	if Outlets()[0] == "spoiled" {
		t.Error("a caller can change the list")
	}
}

func TestAnyTextIsAnOutletOfTheListOrRefused(t *testing.T) {
	typed := rapid.OneOf(rapid.String(), rapid.StringMatching(`(CGA|DIN|BS|din 477|)[ -]?(C|no\.|)[ -]?[0-9]{0,4}`))
	rapid.Check(t, func(t *rapid.T) {
		text := typed.Draw(t, "text")
		got, err := ParseOutlet(text)
		if err == nil && !slices.Contains(Outlets(), got) {
			t.Fatalf("%q is %q, which is not on the list", text, got)
		}
		var e *problem.Error
		if err != nil && (!errors.As(err, &e) || got != "" || e.Advice == "") {
			t.Fatalf("%q: %q, %v", text, got, err)
		}
	})
}
