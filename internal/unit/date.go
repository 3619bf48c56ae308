package unit

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"spanroom/internal/problem"
)

// Date is a calendar date as YYYY-MM-DD; "" is no date. Such dates sort as text.
type Date string

// Instant is a moment in Unix milliseconds UTC; 0 is no moment.
type Instant int64

// InstantOf keeps a moment to the millisecond.
func InstantOf(t time.Time) Instant { return Instant(t.UnixMilli()) }

// Time gives the moment in UTC.
func (i Instant) Time() time.Time { return time.UnixMilli(int64(i)).UTC() }

// String gives the moment by RFC 3339 in UTC, or "" for none.
func (i Instant) String() string {
	if i == 0 {
		return ""
	}
	return i.Time().Format("2006-01-02T15:04:05.000Z")
}

// DateOf gives the calendar date of a moment in the zone that it carries.
func DateOf(t time.Time) Date { return Date(t.Format(time.DateOnly)) }

// Day makes a date from its parts and refuses one that does not exist.
func Day(year, month, day int) (Date, error) {
	if year < 1900 || year > 2199 {
		return "", problem.New(problem.Invalid, fmt.Sprintf("the year %d is out of range", year), "write the date as YYYY-MM-DD")
	}
	if month < 1 || month > 12 {
		return "", problem.New(problem.Invalid, fmt.Sprintf("there is no month %d", month), "write the date as YYYY-MM-DD")
	}
	if last := daysIn(year, month); day < 1 || day > last {
		return "", problem.New(problem.Invalid, fmt.Sprintf("%04d-%02d has no day %d, its last is %d", year, month, day, last), "check the date on the document")
	}
	return Date(fmt.Sprintf("%04d-%02d-%02d", year, month, day)), nil
}

var (
	isoDate  = regexp.MustCompile(`^(\d{4})-(\d{1,2})-(\d{1,2})$`)
	slashed  = regexp.MustCompile(`^(\d{1,2})[/.\-](\d{1,2})[/.\-](\d{2}|\d{4})$`)
	monthly  = regexp.MustCompile(`^(\d{1,2})[/.\-](\d{4})$`)
	isoMonth = regexp.MustCompile(`^(\d{4})-(\d{1,2})$`)
	worded   = regexp.MustCompile(`^(\d{1,2})[ \-]?([A-Za-z]{3,9})\.?[ \-]?(\d{4})$`)
)

var monthNames = []string{"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"}

// ParseDate reads a date as people type it. A month alone is its last day; a date that can be read two ways is refused with both readings.
func ParseDate(text string) (Date, error) {
	s := strings.TrimSpace(text)
	if m := isoDate.FindStringSubmatch(s); m != nil {
		return Day(atoi(m[1]), atoi(m[2]), atoi(m[3]))
	}
	if m := isoMonth.FindStringSubmatch(s); m != nil {
		return monthEnd(atoi(m[1]), atoi(m[2]))
	}
	if m := monthly.FindStringSubmatch(s); m != nil {
		return monthEnd(atoi(m[2]), atoi(m[1]))
	}
	if m := worded.FindStringSubmatch(s); m != nil {
		if month := monthByName(m[2]); month > 0 {
			return Day(atoi(m[3]), month, atoi(m[1]))
		}
	}
	if m := slashed.FindStringSubmatch(s); m != nil {
		return twoWays(s, atoi(m[1]), atoi(m[2]), century(m[3]))
	}
	return "", problem.New(problem.Invalid, fmt.Sprintf("%q is not a date", shorten(text)), "write it as YYYY-MM-DD, 5 Apr 2027 or 04/2027")
}

// twoWays reads a/b/year as day and month where only one order exists.
func twoWays(text string, a, b, year int) (Date, error) {
	dayFirst, errDay := Day(year, b, a)
	monthFirst, errMonth := Day(year, a, b)
	switch {
	case errDay == nil && errMonth == nil && dayFirst != monthFirst:
		return "", problem.New(problem.Invalid,
			fmt.Sprintf("%q can be %s or %s", shorten(text), dayFirst.Words(), monthFirst.Words()),
			fmt.Sprintf("choose %s or %s", dayFirst, monthFirst))
	case errDay == nil:
		return dayFirst, nil
	case errMonth == nil:
		return monthFirst, nil
	default:
		return "", errDay
	}
}

func century(year string) int {
	if len(year) == 2 {
		return 2000 + atoi(year)
	}
	return atoi(year)
}

func monthEnd(year, month int) (Date, error) {
	if _, err := Day(year, month, 1); err != nil {
		return "", err
	}
	return Day(year, month, daysIn(year, month))
}

func monthByName(name string) int {
	name = strings.ToLower(name)
	for i, full := range monthNames {
		if len(name) >= 3 && strings.HasPrefix(full, name) {
			return i + 1
		}
	}
	return 0
}

func atoi(s string) int {
	n, _ := strconv.Atoi(s) // the patterns let only digits through, four at the most
	return n
}

func daysIn(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// Time gives midnight UTC of the date; the zero time for none.
func (d Date) Time() time.Time {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return time.Time{}
	}
	return t
}

// AddDays gives the date n days later.
func (d Date) AddDays(n int) Date {
	if d == "" {
		return ""
	}
	return DateOf(d.Time().AddDate(0, 0, n))
}

// AddMonths gives the same day n months later, or the last day of that month where it has no such day.
func (d Date) AddMonths(n int) Date {
	if d == "" {
		return ""
	}
	t := d.Time()
	months := t.Year()*12 + int(t.Month()) - 1 + n
	year, month := months/12, months%12+1
	return Date(fmt.Sprintf("%04d-%02d-%02d", year, month, min(t.Day(), daysIn(year, month))))
}

// DaysUntil counts the calendar days from d to other; negative when other is earlier. A time.Duration ends at 292 years,
// so the count goes by Unix days.
func (d Date) DaysUntil(other Date) int {
	const day = 24 * 60 * 60
	return int(other.Time().Unix()/day - d.Time().Unix()/day)
}

// Words gives the date as people read it: 5 Mar 2027.
func (d Date) Words() string {
	if d == "" {
		return ""
	}
	return d.Time().Format("2 Jan 2006")
}

// EarlierOf gives the earlier of two dates, where no date counts as never.
func EarlierOf(a, b Date) Date {
	if a == "" || b != "" && b < a {
		return b
	}
	return a
}
