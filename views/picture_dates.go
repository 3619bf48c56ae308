package views

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// timeline is until when each term lets a gas be used: a bar a term with its words above it, the one that limits heavy, and today.
type timeline struct {
	Today string
	Terms []timelineTerm
}

// timelineTerm is one term; From is "" where nobody knows since when it counts.
type timelineTerm struct {
	Name, From, On string
	Limits         bool
}

// The picture's own measures; it scales to its place.
const (
	timeWidth                = 360.0
	timeLeft, timeRight      = 2.0, 6.0
	timeTop, timeBottom      = 24.0, 28.0 // above it today, under it the dates
	timeRow, timeType        = 42.0, 13.0
	timeBar, timeBarOfLimit  = 8.0, 14.0
	timeLetters              = 28      // of the name of a term
	timeTicks, shortestTerms = 4, 60.0 // the axis is no shorter than so many days
)

func newTimeline(pairs ...any) (*timeline, error) {
	t := &timeline{}
	return t, fill(t, pairs)
}

// Known tells whether there is a date to draw.
func (t *timeline) Known() bool { return len(t.Terms) > 0 }

// start is the first day of the picture.
func (t *timeline) start() string {
	first := t.Today
	for _, term := range t.Terms {
		for _, day := range []string{term.From, term.On} {
			if day != "" && day < first {
				first = day
			}
		}
	}
	return first
}

// days is how long the picture is.
func (t *timeline) days() float64 {
	start := t.start()
	most := max(shortestTerms, daysBetween(start, t.Today))
	for _, term := range t.Terms {
		most = max(most, daysBetween(start, term.On), daysBetween(start, term.From))
	}
	return most * 1.03
}

func (t *timeline) x(day string) float64 {
	if day == "" {
		return timeLeft
	}
	return tenth(timeLeft + (timeWidth-timeLeft-timeRight)*daysBetween(t.start(), day)/t.days())
}

// Frame gives the size of the picture, its edges and its axis.
func (t *timeline) Frame() map[string]float64 {
	axis := timeTop + timeRow*float64(len(t.Terms))
	return map[string]float64{"left": timeLeft, "right": timeWidth - timeRight, "top": timeTop - 4, "axis": axis, "today": t.x(t.Today), "width": timeWidth, "height": axis + timeBottom}
}

// timelineBar is the bar of a term with its words above it; the one that limits has a word more, at its end.
type timelineBar struct {
	pictureWord
	Left, Top, Width, Height float64
	Limits                   *pictureWord
}

// Bars are the bars in the order of the terms.
func (t *timeline) Bars() []timelineBar {
	bars := make([]timelineBar, len(t.Terms))
	for i, term := range t.Terms {
		top, end := timeTop+timeRow*float64(i), t.x(term.On)
		left := min(t.x(term.From), end) // of a date before its own beginning there is a mark alone
		bar := timelineBar{
			pictureWord: pictureWord{X: timeLeft, Y: top + timeType, Text: clipped(term.Name, timeLetters) + ", " + date(term.On), Anchor: "start"},
			Left:        left, Top: top + timeType + 6, Width: max(tenth(end-left), 1), Height: timeBar,
		}
		if term.Limits {
			word := beside(end, 6, 0, timeWidth, timeType, "use by")
			word.Y = bar.Top + timeType - 1
			bar.Height, bar.Limits = timeBarOfLimit, &word
		}
		bars[i] = bar
	}
	return bars
}

// TodayMark are the words of today; its line stands at the day.
func (t *timeline) TodayMark() pictureWord {
	word := beside(t.x(t.Today), 4, 0, timeWidth, timeType, "today, "+date(t.Today))
	word.Y = timeType
	return word
}

// Ticks are first days of months or years on the axis, not so many that they touch.
func (t *timeline) Ticks() []pictureWord {
	start, err := time.Parse(time.DateOnly, t.start())
	if err != nil {
		return nil
	}
	every := t.months()
	words := "Jan 2006"
	if every >= 12 {
		words = "2006"
	}
	months := start.Year()*12 + int(start.Month()) - 1
	var ticks []pictureWord
	for m := (months/every + 1) * every; ; m += every {
		day := time.Date(m/12, time.Month(m%12+1), 1, 0, 0, 0, 0, time.UTC)
		x := t.x(day.Format(time.DateOnly))
		if x > timeWidth-timeRight {
			return ticks
		}
		tick := pictureWord{X: x, Y: t.Frame()["axis"], Text: day.Format(words), Anchor: "middle"}
		if half := wide(words, timeType) / 2; x-half < 0 {
			tick.Anchor = "start"
		} else if x+half > timeWidth {
			tick.Anchor = "end"
		}
		ticks = append(ticks, tick)
	}
}

// months is the distance of two marks on the axis.
func (t *timeline) months() int {
	const month = 30.44
	for _, every := range []int{1, 2, 3, 6, 12, 24, 60, 120, 300} {
		if t.days()/month/float64(every) <= timeTicks {
			return every
		}
	}
	return 1200
}

// Sentence says the same as the picture.
func (t *timeline) Sentence() string {
	parts := make([]string, len(t.Terms))
	for i, term := range t.Terms {
		parts[i] = fmt.Sprintf("%s until %s", term.Name, date(term.On))
		if term.Limits {
			parts[i] += ", which limits it"
		}
	}
	return "Each date by itself: " + strings.Join(parts, "; ") + fmt.Sprintf("; today is %s.", date(t.Today))
}

// clipped shortens words that have no room in a picture; the sentence beneath it has them all.
func clipped(words string, most int) string {
	if utf8.RuneCountInString(words) <= most {
		return words
	}
	return string([]rune(words)[:most-1]) + "…"
}
