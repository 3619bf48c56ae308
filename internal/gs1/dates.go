package gs1

import (
	"fmt"
	"time"

	"spanroom/internal/unit"
)

// anyYear stands in where a text is only checked: of the years with two digits the day depends on the century in 00 alone,
// and that is 2000 from all years before 2050.
const anyYear = 2025

// fullYear puts two digits within fifty years before the current year, or fifty after it.
func fullYear(yy, current int) int {
	century := current / 100 * 100
	switch gap := yy - current%100; {
	case gap >= 51:
		century -= 100
	case gap <= -50:
		century += 100
	}
	return century + yy
}

// dayOf finds what is wrong with a date of six digits.
func dayOf(yymmdd string, dayless bool) Problem {
	_, problem := date(yymmdd, dayless, anyYear)
	return problem
}

// date reads YYMMDD as seen from a year. Where the day may be left out, 00 is the last of the month. No date rolls over.
func date(yymmdd string, dayless bool, current int) (unit.Date, Problem) {
	return day(fullYear(number(yymmdd[:2]), current), yymmdd[2:], dayless)
}

func fullDate(yyyymmdd string) Problem {
	_, problem := day(number(yyyymmdd[:4]), yyyymmdd[4:], false)
	return problem
}

func day(year int, mmdd string, dayless bool) (unit.Date, Problem) {
	month, day := number(mmdd[:2]), number(mmdd[2:])
	if month < 1 || month > 12 {
		return "", DateMonth
	}
	last := time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
	if day == 0 && dayless {
		day = last
	}
	if day < 1 || day > last {
		return "", DateDay
	}
	return unit.Date(fmt.Sprintf("%04d-%02d-%02d", year, month, day)), ""
}
