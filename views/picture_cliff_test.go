package views

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// fourGas is the worked example of R45: nine on hand, four of them until 24 March, 0.54 a week.
func fourGas(t *testing.T, pairs ...any) *cliff {
	t.Helper()
	c, err := newCliff(append([]any{
		"name", "Q4", "unit", "cylinder", "today", "2027-03-03", "level", 5.16, "orderby", "2027-03-23", "neededby", "2027-05-04",
		"points", []cliffPoint{
			{"2027-03-03", 9, 6.62, 0}, {"2027-03-10", 8.46, 6.08, 0}, {"2027-03-17", 7.92, 5.54, 0}, {"2027-03-24", 7.38, 5, 0},
			{"2027-03-31", 4.46, 4.46, 2.38}, {"2027-04-07", 3.92, 3.92, 0}, {"2027-04-14", 3.38, 3.38, 0},
		},
		"lots", []cliffLot{{"7K-2206", "2027-03-24", "", 2.38}, {"3E5", "2027-12-01", "", 0}, {"=x", "2027-04-01", "Certificate missing", 6}},
	}, pairs...)...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCliffSentence(t *testing.T) {
	want := "Q4: 9 cylinders on the shelf on 3 Mar 2027, of which 6.6 are used in time; 2.4 expire unused after 24 Mar 2027 (lot 7K-2206); the reorder level is 5.2; order by 23 Mar 2027, it arrives about 4 May 2027."
	if got := fourGas(t).Sentence(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	one, err := newCliff("name", "FEP-5", "unit", "m", "today", "2027-03-03", "points", []cliffPoint{{"2027-03-03", 1, 1, 0}, {"2027-03-10", 0, 0, 0}})
	if err != nil {
		t.Fatal(err)
	}
	if got := one.Sentence(); got != "FEP-5: 1 metre on the shelf on 3 Mar 2027, of which 1 is used in time." {
		t.Errorf("%q", got)
	}
	empty, err := newCliff("name", "CL", "points", []cliffPoint{{"2027-03-03", 0, 0, 0}})
	if err != nil || empty.Known() || empty.Sentence() != "There is no stock of CL to draw." {
		t.Errorf("%q, %v", empty.Sentence(), err)
	}
}

func TestCliffFallsOnItsDay(t *testing.T) {
	c := fourGas(t)
	drop := c.shelfDrops()
	if len(drop) != 1 || drop[0].day != 21 || !close2(drop[0].top, 7.38) || !close2(drop[0].units, 2.38) {
		t.Fatalf("drops %+v", drop)
	}
	line := c.shelf()
	if last := line[len(line)-1]; last.day != 42 || last.units != 3.38 || len(line) != 9 {
		t.Errorf("the shelf line %v", line)
	}
	// The lots do not explain what expired here, so it falls where the week ends.
	odd := fourGas(t)
	odd.Lots = nil
	for i, at := range odd.shelf() {
		if at.day == 28 && !close2(at.units, 6.84) && !close2(at.units, 4.46) {
			t.Errorf("corner %d: %+v", i, at)
		}
	}
}

func close2(a, b float64) bool { return a > b-0.005 && a < b+0.005 }

func TestCliffMarks(t *testing.T) {
	c := fourGas(t)
	words := func(marks []pictureWord) string {
		var all []string
		for _, m := range marks {
			all = append(all, m.Text)
		}
		return strings.Join(all, "|")
	}
	for _, mark := range []struct{ got, want string }{
		{words(c.Ups()), "0|2|4|6|8|10"},
		{words(c.Months()), "Apr 2027|May"},
		{words(c.Days()), "order by 23 Mar|arrives 4 May"},
		{words(c.Drops()), "2.4 expire, 24 Mar"},
		{c.LevelMark().Text, "reorder level 5.2"},
	} {
		if mark.got != mark.want {
			t.Errorf("%q, want %q", mark.got, mark.want)
		}
	}
	if c.Days()[1].Anchor != "end" {
		t.Error("a word near the right edge stands left of its line")
	}
	c.Level, c.OrderBy, c.NeededBy = 0, "", ""
	if c.LevelMark() != nil || c.Days() != nil {
		t.Error("no level and no order, and yet marks of them")
	}
}

func TestCliffPart(t *testing.T) {
	set, err := Load("")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := set.pages["reorder"].ExecuteTemplate(&out, "cliff", fourGas(t)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`role="img" aria-label="Q4: 9 cylinders`, `class="cliff-shelf" d="M56 `, `class="cliff-lost"`, "today, 3 Mar 2027", ">date<", ">cylinders<", "2.4 expire, 24 Mar", "<figcaption>"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the picture lacks %s:\n%s", want, out.String())
		}
	}
}

var pathNumbers = regexp.MustCompile(`[ML](\S+?) ([^ML]+?)(?:Z|$|[ML])`)

func TestCliffStaysInItsFrame(t *testing.T) {
	units := rapid.Float64Range(0, 1e6)
	rapid.Check(t, func(t *rapid.T) {
		c := &cliff{Name: "x", Unit: "each", Today: "2027-03-03", Level: units.Draw(t, "level"), NeededBy: rapid.SampledFrom([]string{"", "2027-04-14", "2031-01-01", "soon"}).Draw(t, "needed")}
		left := units.Draw(t, "units")
		for week := range rapid.IntRange(0, 60).Draw(t, "weeks") {
			usable := left * rapid.Float64Range(0, 1).Draw(t, "usable")
			c.Points = append(c.Points, cliffPoint{dateAfter(7 * week), left, usable, rapid.Float64Range(0, left).Draw(t, "expired")})
			left = usable
		}
		if rapid.Bool().Draw(t, "lot") {
			c.Lots = []cliffLot{{"A", dateAfter(rapid.IntRange(-10, 400).Draw(t, "until")), "", units.Draw(t, "lost")}}
		}
		if !c.Known() {
			return
		}
		for _, path := range []string{c.Shelf(), c.Usable(), c.Lost(), c.Kept()} {
			for _, m := range pathNumbers.FindAllStringSubmatch(path, -1) {
				x, errX := strconv.ParseFloat(m[1], 64)
				y, errY := strconv.ParseFloat(m[2], 64)
				if errX != nil || errY != nil || x < cliffLeft || x > cliffWidth-cliffRight || y < cliffTop-0.1 || y > cliffHeight-cliffBottom {
					t.Fatalf("%s leaves the frame at %q", path, m[0])
				}
			}
		}
		if ups := c.Ups(); len(ups) > 12 || len(c.Months()) > monthsMost+1 {
			t.Fatalf("%d marks up and %d along", len(ups), len(c.Months()))
		}
	})
}

func dateAfter(days int) string {
	return time.Date(2027, 3, 3+days, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}
