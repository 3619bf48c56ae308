package views

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func chlorineTerms() []timelineTerm {
	return []timelineTerm{
		{"the certificate", "2026-08-10", "2027-08-10", false}, {"Cl2: site cap 8 months", "2026-08-10", "2027-04-10", true}, {"the label", "", "2027-12-31", false},
	}
}

func TestTimelineSentence(t *testing.T) {
	line, err := newTimeline("today", "2027-03-03", "terms", chlorineTerms())
	if err != nil {
		t.Fatal(err)
	}
	want := "Each date by itself: the certificate until 10 Aug 2027; Cl2: site cap 8 months until 10 Apr 2027, which limits it; the label until 31 Dec 2027; today is 3 Mar 2027."
	if got := line.Sentence(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if (&timeline{Today: "2027-03-03"}).Known() {
		t.Error("without a term there is nothing to draw")
	}
}

// 508 days from fill to the last date, and 3 % of room, on a line of 352 from 2 on.
func TestTimelineBars(t *testing.T) {
	line := &timeline{Today: "2027-03-03", Terms: chlorineTerms()}
	var got []string
	for _, b := range line.Bars() {
		text := fmt.Sprintf("%s from %g for %g high %g", b.Text, b.Left, b.Width, b.Height)
		if b.Limits != nil {
			text += fmt.Sprintf(", %s at %g", b.Limits.Text, b.Limits.X)
		}
		got = append(got, text)
	}
	want := []string{
		"the certificate, 10 Aug 2027 from 2 for 245.5 high 8", "Cl2: site cap 8 months, 10 Apr 2027 from 2 for 163.5 high 14, use by at 171.5",
		"the label, 31 Dec 2027 from 2 for 341.7 high 8",
	}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("%q, want %q", got, want)
	}
	if m := line.TodayMark(); line.Frame()["today"] != 139.9 || m.X != 143.9 || m.Text != "today, 3 Mar 2027" {
		t.Errorf("today %+v", m)
	}
	var ticks []string
	for _, tick := range line.Ticks() {
		ticks = append(ticks, tick.Text)
	}
	if strings.Join(ticks, "|") != "Jan 2027|Jul 2027|Jan 2028" {
		t.Errorf("ticks %q", ticks)
	}
	if long := (&timeline{Terms: []timelineTerm{{Name: strings.Repeat("x", 90), On: "2027-12-13"}}}).Bars()[0].Text; wide(long, timeType) > timeWidth {
		t.Errorf("%q is too long for the picture", long)
	}
	if early := (&timeline{Today: "2027-03-03", Terms: []timelineTerm{{Name: "label", From: "2027-03-01", On: "2027-01-01"}}}).Bars()[0]; early.Width != 1 || early.Left != timeLeft {
		t.Errorf("a date before its own beginning is drawn as %+v", early)
	}
}

func TestTimelineStaysInItsFrame(t *testing.T) {
	day := rapid.Custom(func(t *rapid.T) string { return dateAfter(rapid.IntRange(-46_000, 63_000).Draw(t, "day")) })
	rapid.Check(t, func(t *rapid.T) {
		line := &timeline{Today: day.Draw(t, "today")}
		for range rapid.IntRange(1, 5).Draw(t, "terms") {
			term := timelineTerm{Name: "term", On: day.Draw(t, "on")}
			if rapid.Bool().Draw(t, "known") {
				term.From = day.Draw(t, "from")
			}
			line.Terms = append(line.Terms, term)
		}
		frame := line.Frame()
		inside := func(what string, x float64) {
			if x < frame["left"] || x > frame["right"] {
				t.Fatalf("%s stands at %g, outside %v", what, x, frame)
			}
		}
		for _, b := range line.Bars() {
			inside(b.Text, b.Left)
			inside(b.Text, b.Left+b.Width)
			if b.Top+b.Height > frame["axis"] {
				t.Fatalf("%+v stands under the axis", b)
			}
		}
		inside("today", frame["today"])
		ticks := line.Ticks()
		for i, tick := range ticks {
			inside(tick.Text, tick.X)
			if i > 0 && tick.X-ticks[i-1].X < 60 {
				t.Fatalf("%s touches %s", tick.Text, ticks[i-1].Text)
			}
		}
		if len(ticks) == 0 {
			t.Fatal("there is no date on the axis")
		}
	})
}
