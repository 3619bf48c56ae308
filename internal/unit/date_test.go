package unit

import (
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"
)

func TestDatesAsTyped(t *testing.T) {
	for text, want := range map[string]Date{
		"2027-04-05": "2027-04-05", " 2027-4-5 ": "2027-04-05", "5 Apr 2027": "2027-04-05", "5-APR-2027": "2027-04-05", "5apr2027": "2027-04-05",
		"12 September 2027": "2027-09-12", "12 Sept 2027": "2027-09-12", "12 sep. 2027": "2027-09-12",
		"04/2027": "2027-04-30", "2/2028": "2028-02-29", "2027-02": "2027-02-28", "12.2027": "2027-12-31",
		"13/04/2027": "2027-04-13", "04/13/27": "2027-04-13", "31.12.27": "2027-12-31", "05/05/27": "2027-05-05", "29/02/2028": "2028-02-29",
	} {
		if got, err := ParseDate(text); err != nil || got != want {
			t.Errorf("%q: got %q, %v; want %q", text, got, err, want)
		}
	}
}

func TestDatesThatAreRefused(t *testing.T) {
	for _, text := range []string{
		"", "soon", "2027", "2027-13-01", "2027-02-29", "2027-04-31", "2027-00-10", "2027-04-00", "31/04/2027", "13/13/27", "13/2027",
		"1899-12-31", "2200-01-01", "0000-00-00", "5 Foo 2027", "5 Ma 2027", "2027-04-05T00:00:00Z", "２０２７-04-05", "2027–04–05", "20270405",
		"99999-01-01", strings.Repeat("2", 100_000), "\xff",
	} {
		got, err := ParseDate(text)
		if got != "" {
			t.Errorf("%.40q is taken as %q", text, got)
		}
		refused(t, err)
	}
}

func TestDateThatReadsTwoWaysGivesBothInWords(t *testing.T) {
	for _, text := range []string{"05/04/27", "5.4.2027", "05-04-2027"} {
		_, err := ParseDate(text)
		e := refused(t, err)
		for _, part := range []string{"5 Apr 2027", "4 May 2027"} {
			if !strings.Contains(e.Detail, part) {
				t.Errorf("%q: %q does not give %q", text, e.Detail, part)
			}
		}
		if !strings.Contains(e.Advice, "2027-04-05 or 2027-05-04") {
			t.Errorf("%q: the advice %q does not give the choice", text, e.Advice)
		}
	}
}

func TestMonthsClampToTheLastDay(t *testing.T) {
	for _, c := range []struct {
		from   Date
		months int
		want   Date
	}{
		{"2028-02-29", 12, "2029-02-28"}, {"2027-08-31", 6, "2028-02-29"}, {"2027-06-30", 8, "2028-02-29"}, {"2026-08-10", 8, "2027-04-10"},
		{"2027-01-31", 1, "2027-02-28"}, {"2027-12-31", 2, "2028-02-29"}, {"2027-03-31", -1, "2027-02-28"}, {"2027-01-15", -1, "2026-12-15"},
		{"2027-01-15", 0, "2027-01-15"}, {"2000-02-29", 1200, "2100-02-28"}, {"", 12, ""},
	} {
		if got := c.from.AddMonths(c.months); got != c.want {
			t.Errorf("%s + %d months: got %s, want %s", c.from, c.months, got, c.want)
		}
	}
}

func TestDayArithmeticOverAClockChange(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Amsterdam")
	if err != nil {
		t.Fatal(err)
	}
	before := DateOf(time.Date(2027, 3, 27, 23, 59, 0, 0, zone))
	short := time.Date(2027, 3, 28, 0, 30, 0, 0, zone)
	if next := DateOf(short.AddDate(0, 0, 1)); next.Time().Sub(short) == 24*time.Hour {
		t.Fatal("28 March 2027 is not a short day in this zone")
	}
	if got := before.DaysUntil(DateOf(short)); got != 1 {
		t.Errorf("from 27 to 28 March are %d days, want 1", got)
	}
	if got := before.AddDays(2); got != "2027-03-29" {
		t.Errorf("two days on is %s", got)
	}
	if late := DateOf(time.Date(2027, 3, 28, 23, 59, 0, 0, zone)); late != "2027-03-28" {
		t.Errorf("the last minute of the day is on %s", late)
	}
}

func TestDaysUntilSpansCenturies(t *testing.T) {
	if got := Date("1900-01-01").DaysUntil("2199-12-31"); got != 109_572 {
		t.Errorf("got %d days", got)
	}
	if got := Date("2199-12-31").DaysUntil("1900-01-01"); got != -109_572 {
		t.Errorf("backwards: got %d days", got)
	}
}

func anyDate(t *rapid.T, label string) Date {
	return Date("1900-01-01").AddDays(rapid.IntRange(0, 109_572).Draw(t, label))
}

func TestDateArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, n := anyDate(t, "date"), rapid.IntRange(-40_000, 40_000).Draw(t, "days")
		later := d.AddDays(n)
		if back := later.AddDays(-n); back != d || d.DaysUntil(later) != n {
			t.Fatalf("%s and %d days: %s, back %s, %d days between", d, n, later, back, d.DaysUntil(later))
		}
		if (n > 0) != (later > d) || EarlierOf(d, later) != min(d, later) || EarlierOf(later, d) != min(d, later) {
			t.Fatalf("%s and %s sort the wrong way round", d, later)
		}
		if got, err := ParseDate(string(d)); err != nil || got != d {
			t.Fatalf("%s reads as %q, %v", d, got, err)
		}
		if got, err := ParseDate(d.Words()); err != nil || got != d {
			t.Fatalf("%s in words reads as %q, %v", d, got, err)
		}
	})
}

func TestMonthArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, n := anyDate(t, "date"), rapid.IntRange(-240, 1200).Draw(t, "months")
		got, from := d.AddMonths(n).Time(), d.Time()
		if passed := (got.Year()-from.Year())*12 + int(got.Month()) - int(from.Month()); passed != n {
			t.Fatalf("%s + %d months lands %d months on", d, n, passed)
		}
		lastDay := got.AddDate(0, 0, 1).Day() == 1
		if got.Day() > from.Day() || got.Day() < from.Day() && !lastDay {
			t.Fatalf("%s + %d months is day %d", d, n, got.Day())
		}
		if other := anyDate(t, "other"); d <= other && d.AddMonths(n) > other.AddMonths(n) {
			t.Fatalf("%d months turn %s and %s round", n, d, other)
		}
	})
}

func TestNoDateStaysNoDate(t *testing.T) {
	none := Date("")
	if none.AddDays(3) != "" || none.AddMonths(3) != "" || none.Words() != "" || !none.Time().IsZero() {
		t.Error("no date became a date")
	}
	if EarlierOf("", "2027-01-01") != "2027-01-01" || EarlierOf("2027-01-01", "") != "2027-01-01" || EarlierOf("", "") != "" {
		t.Error("no date does not count as never")
	}
}

func TestInstantKeepsMilliseconds(t *testing.T) {
	moment := time.Date(2027, 3, 3, 9, 5, 7, 123_456_789, time.FixedZone("", 3600))
	i := InstantOf(moment)
	if got := i.String(); got != "2027-03-03T08:05:07.123Z" {
		t.Errorf("got %s", got)
	}
	if InstantOf(i.Time()) != i {
		t.Error("it does not come back")
	}
	if Instant(0).String() != "" {
		t.Error("no moment has a text")
	}
}
