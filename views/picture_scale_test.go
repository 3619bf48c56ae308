package views

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// methane is half the lower limit of one standard and more of the other; the third has no figure of it.
func methane(t *testing.T) *volScale {
	t.Helper()
	s, err := newVolScale("gas", "methane", "words", "2.5 %vol", "amount", 2.5, "marks", []scaleMark{{"NFPA497:2008", 5, true}, {"IEC60079-20-1:2010", 4.4, false}, {"none", 0, false}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestScaleSentence(t *testing.T) {
	want := "The cylinder has 2.5 %vol methane; 100 %LEL is 5 %vol by NFPA497:2008, which is chosen, and 4.4 %vol by IEC60079-20-1:2010."
	if got := methane(t).Sentence(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	one := &volScale{Gas: "H2", Words: "400 ppm", Marks: []scaleMark{{"the manual", 4, true}}}
	if got := one.Sentence(); got != "The cylinder has 400 ppm H2; 100 %LEL is 4 %vol by the manual." {
		t.Errorf("%q", got)
	}
	if (&volScale{Amount: 2}).Known() || !one.Known() {
		t.Error("a scale without a mark has nothing to compare")
	}
}

// The marks stand where their figures are: on an axis of 344 up to 5.5 %vol.
func TestScaleMarks(t *testing.T) {
	s := methane(t)
	var got []string
	for _, l := range s.Lines() {
		got = append(got, fmt.Sprintf("%s %g %s %s", l.Class, l.At, l.Text, l.Anchor))
	}
	want := "chosen 318.7 5 %vol, NFPA497:2008 end|basis 281.2 4.4 %vol, IEC60079-20-1:2010 end|amount 162.4 cylinder: 2.5 %vol methane start"
	if strings.Join(got, "|") != want {
		t.Errorf("%s, want %s", strings.Join(got, "|"), want)
	}
	var ticks []string
	for _, tick := range s.Ticks() {
		ticks = append(ticks, tick.Text)
	}
	if strings.Join(ticks, " ") != "0 1 2 3 4 5" {
		t.Errorf("ticks %v", ticks)
	}
	if f := s.Frame(); f["barwidth"] != 156.4 || f["bar"]+f["barheight"] != f["axis"] {
		t.Errorf("the frame %v", f)
	}
}

func TestScaleStaysInItsFrame(t *testing.T) {
	vol := rapid.Float64Range(1e-6, 100)
	rapid.Check(t, func(t *rapid.T) {
		s := &volScale{Amount: rapid.Float64Range(0, 100).Draw(t, "amount"), Marks: []scaleMark{{"A", vol.Draw(t, "A"), true}, {"B", vol.Draw(t, "B"), false}}}
		frame, above := s.Frame(), s.Frame()["head"]
		for _, l := range s.Lines() {
			if l.At < frame["left"] || l.At > frame["right"] || l.Y <= above || l.Y > frame["bar"] {
				t.Fatalf("%+v leaves the frame %v, or stands over another", l, frame)
			}
			above = l.Y
		}
		if n := len(s.Ticks()); n < 2 || n > scaleTicks+2 {
			t.Fatalf("%d ticks", n)
		}
	})
}

func TestDecimal(t *testing.T) {
	for n, want := range map[float64]string{4.4: "4.4", 5: "5", 0.00005: "0.0001", 1200: "1\u202f200", 1.15: "1.15", 100: "100"} {
		if got := decimal(n); got != want {
			t.Errorf("%g is %q, want %q", n, got, want)
		}
	}
}
