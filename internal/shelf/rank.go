package shelf

import (
	"cmp"
	"fmt"
	"slices"

	"spanroom/internal/unit"
)

// Standing is one cylinder that passed every check, with what decides its turn.
type Standing struct {
	Tag        unit.Tag
	Opened     bool
	UseBy      unit.Date
	UsableML   unit.Volume
	SamePlace  bool // it stands where the person asks
	Asks       bool // taking it needs a reason
	Sought     bool // somebody did not find it, and it is being looked for
	ReceivedAt unit.Instant
}

// Ranked is a cylinder in its turn, with one short sentence why.
type Ranked struct {
	Standing
	Class int
	Why   string
}

// The classes of rule R16, in their order.
const (
	classSooner = iota // sealed, and it expires so much sooner that the opened ones can wait
	classOpened
	classSealed
)

// Rank puts cylinders in the order in which to take them: those that are where they should be first, those that need no reason
// first, then by class, use-by, less gas, same place, receipt and tag. A sealed one passes the opened ones only when it expires
// more than graceDays before all of them that are to be found.
func Rank(standings []Standing, graceDays int) []Ranked {
	firstOpened := unit.Date("")
	for _, s := range standings {
		if s.Opened && !s.Sought {
			firstOpened = unit.EarlierOf(firstOpened, s.UseBy)
		}
	}
	ranked := make([]Ranked, len(standings))
	for i, s := range standings {
		ranked[i] = Ranked{Standing: s, Class: class(s, firstOpened, graceDays)}
	}
	slices.SortFunc(ranked, inTurn)
	for i := range ranked {
		ranked[i].Why = why(ranked[:i], ranked[i], firstOpened)
	}
	return ranked
}

func class(s Standing, firstOpened unit.Date, graceDays int) int {
	switch {
	case s.Opened:
		return classOpened
	case s.UseBy != "" && firstOpened != "" && s.UseBy < firstOpened.AddDays(-graceDays):
		return classSooner
	default:
		return classSealed
	}
}

func inTurn(a, b Ranked) int {
	return cmp.Or(
		yesFirst(b.Sought, a.Sought),
		yesFirst(b.Asks, a.Asks),
		cmp.Compare(a.Class, b.Class),
		yesFirst(a.UseBy != "", b.UseBy != ""),
		cmp.Compare(a.UseBy, b.UseBy),
		cmp.Compare(a.UsableML, b.UsableML),
		yesFirst(a.SamePlace, b.SamePlace),
		cmp.Compare(a.ReceivedAt, b.ReceivedAt),
		cmp.Compare(a.Tag, b.Tag),
	)
}

func yesFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	default:
		return 1
	}
}

// why says what gives r its turn: its class, or what sets it behind the one before it in the same class.
func why(before []Ranked, r Ranked, firstOpened unit.Date) string {
	state := "sealed"
	if r.Opened {
		state = "opened"
	}
	if r.Sought {
		return state + ", but somebody did not find it"
	}
	if r.Asks {
		return state + ", but it needs a reason"
	}
	if r.Class == classSooner {
		return fmt.Sprintf("expires %s sooner than the opened ones", count(r.UseBy.DaysUntil(firstOpened), "day"))
	}
	if n := len(before); n > 0 && before[n-1].Class == r.Class {
		return state + ", " + behind(before[n-1], r)
	}
	if r.Opened {
		return "opened, use it up first"
	}
	return "sealed, earliest use-by"
}

func behind(first, r Ranked) string {
	switch {
	case r.UseBy == "" && first.UseBy != "":
		return "undated"
	case r.UseBy != first.UseBy:
		return "expires " + count(first.UseBy.DaysUntil(r.UseBy), "day") + " later"
	case r.UsableML != first.UsableML:
		return "same use-by, more gas left"
	case r.SamePlace != first.SamePlace:
		return "same use-by, at another place"
	case r.ReceivedAt != first.ReceivedAt:
		return "same use-by, received later"
	default:
		return "same use-by, next by tag"
	}
}
