package views

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Kinds as other rooms have them: named, and with no method that helps.
type (
	day     string
	code    string
	instant int64
	volume  int64
)

func ptr[T any](v T) *T { return &v }

func TestNum(t *testing.T) {
	for _, c := range []struct {
		decimals int
		v        any
		want     string
	}{
		{0, 8, "8"},
		{0, 999, "999"},
		{0, 1260, "1\u202f260"},
		{2, 1234567.891, "1\u202f234\u202f567.89"},
		{1, -1260.04, "−1\u202f260.0"},
		{1, -0.04, "0.0"},
		{0, volume(3400), "3\u202f400"},
		{1, ptr(3.25), "3.2"},
		{2, "78.00", "78.00"},
		{2, code("not measured"), "not measured"},
		{2, nil, "–"},
		{2, (*float64)(nil), "–"},
		{2, "", "–"},
		{2, math.NaN(), "–"},
		{2, math.Inf(1), "–"},
		{-3, 5, "5"},
		{0, uint8(7), "7"},
	} {
		if got := num(c.decimals, c.v); got != c.want {
			t.Errorf("num(%d, %#v) = %q, want %q", c.decimals, c.v, got, c.want)
		}
	}
}

// Grouping adds signs and changes no figure, and no group is longer than three.
func TestNumKeepsFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e12, 1e12).Draw(t, "v")
		decimals := rapid.IntRange(0, 6).Draw(t, "decimals")
		shown := num(decimals, v)
		plain := strings.NewReplacer(thin, "", "−", "-").Replace(shown)
		want, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := strconv.ParseFloat(plain, 64); err != nil || got != want {
			t.Fatalf("%q says %v (%v), want %v", shown, got, err, want)
		}
		whole, _, _ := strings.Cut(strings.TrimPrefix(shown, "−"), ".")
		for i, group := range strings.Split(whole, thin) {
			if len(group) > 3 || i > 0 && len(group) != 3 {
				t.Fatalf("group %q in %q", group, shown)
			}
		}
	})
}

func TestLitresMoney(t *testing.T) {
	for v, want := range map[any]string{
		3.6: "3.60 L", 0: "0.00 L", 9.994: "9.99 L", 9.996: "10.0 L", 66.14: "66.1 L", 99.96: "100 L", 1204.4: "1\u202f204 L",
		-0.5: "−0.50 L", nil: "–",
	} {
		if got := litres(v); got != want {
			t.Errorf("litres(%v) = %q, want %q", v, got, want)
		}
	}
	for v, want := range map[any]string{
		"1260.00 EUR": "1\u202f260.00 EUR", "78.00 EUR": "78.00 EUR", "-1260.50 EUR": "−1\u202f260.50 EUR", "": "", "free of charge": "free of charge",
		code("613.00 USD"): "613.00 USD",
	} {
		if got := money(v); got != want {
			t.Errorf("money(%v) = %q, want %q", v, got, want)
		}
	}
}

func TestDate(t *testing.T) {
	for v, want := range map[any]string{
		"2027-03-05": "5 Mar 2027", day("2027-12-31"): "31 Dec 2027", "": "no date", nil: "no date", "2027-02-30": "2027-02-30",
		"soon": "soon", time.Date(2027, 3, 5, 7, 0, 0, 0, time.UTC): "5 Mar 2027", time.Time{}: "no date",
	} {
		if got := date(v); got != want {
			t.Errorf("date(%v) = %q, want %q", v, got, want)
		}
	}
	if got := date((*day)(nil)); got != "no date" {
		t.Errorf("date of no pointer = %q", got)
	}
}

func TestWhen(t *testing.T) {
	p := Page{Zone: time.FixedZone("store", 2*3600)}
	moment := time.Date(2027, 3, 5, 7, 12, 30, 0, time.UTC)
	for v, want := range map[any]string{
		moment: "5 Mar 2027 09:12", moment.UnixMilli(): "5 Mar 2027 09:12", instant(moment.UnixMilli()): "5 Mar 2027 09:12",
		"2027-03-05T07:12:30.000Z": "5 Mar 2027 09:12", "2027-12-31T23:00:00Z": "1 Jan 2028 01:00", "": "no time", instant(0): "no time",
		nil: "no time", time.Time{}: "no time", "yesterday": "yesterday", 1.5: "1.5",
	} {
		if got := when(p, v); got != want {
			t.Errorf("when(%v) = %q, want %q", v, got, want)
		}
	}
	if got := when(Page{}, moment); got != "5 Mar 2027 07:12" {
		t.Errorf("without a zone %q", got)
	}
}

func TestCountingWords(t *testing.T) {
	for got, want := range map[string]string{
		plural(1, "pack"):                                "1 pack",
		plural(0, "pack"):                                "0 packs",
		plural(int64(1260), "pack"):                      "1\u202f260 packs",
		plural(2, "entry", "entries"):                    "2 entries",
		about(66, 58, "bump"):                            "about 66 bumps (at least 58)",
		about(volume(1), 0, "bump"):                      "about 1 bump (at least 0)",
		limit("component", []string{"Cl2", "H2S"}):       "Cl2, H2S: site cap",
		limit(code("opened"), []code{"H2S"}):             "H2S: cap once opened",
		limit("component", nil):                          "site cap",
		limit("certificate", nil):                        "the certificate's date",
		limit("label", nil):                              "the date on the label",
		limit("store", nil):                              "the store's own cap",
		limit("unknown", nil):                            "",
		word(code("do_not_use")):                         "do not use",
		word("sealed"):                                   "unopened",
		word("bump_only"):                                "bump only",
		word(nil):                                        "",
		join(", ", []any{code("a"), 2, nil}):             "a, 2, ",
		strings.Join(tight([]string{"H2S 25 ppm"}), ";"): "H2S\u00a025\u00a0ppm",
		rowNumber(0) + rowNumber("1") + rowNumber("#"):   "12",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestShapeTellsSeveritiesApart(t *testing.T) {
	seen := map[string]string{}
	for _, s := range []string{"stop", "ask", "note", "ready"} {
		mark := shape(code(s))
		if other, twice := seen[mark]; twice {
			t.Errorf("%s looks like %s", s, other)
		}
		seen[mark] = s
	}
	if shape("new") != shape("note") {
		t.Error("an unknown severity does not look like a note")
	}
	for state, want := range map[code]string{"usable": "ready", "limited": "ask", "do_not_use": "stop", "anything": "stop"} {
		if got := severity(state); got != want {
			t.Errorf("severity(%s) = %s, want %s", state, got, want)
		}
	}
}

func TestLists(t *testing.T) {
	if got := seq(2, 4); len(got) != 3 || got[0] != 2 || got[2] != 4 {
		t.Errorf("seq(2, 4) = %v", got)
	}
	if got := seq(1, 0); len(got) != 0 {
		t.Errorf("seq(1, 0) = %v", got)
	}
	if got, err := inline(map[string]int{"</script>": 1}); err != nil || strings.Contains(got, "<") {
		t.Errorf("json %q, %v", got, err)
	}
	for _, wrong := range [][]any{{"tag"}, {1, 2}, {"a", 1, "a", 2}} {
		if got, err := dict(wrong...); err == nil {
			t.Errorf("dict(%v) = %v", wrong, got)
		}
	}
}
