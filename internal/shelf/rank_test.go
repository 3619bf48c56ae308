package shelf

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/unit"
)

func TestOpenedOrSoonerToExpire(t *testing.T) {
	a := Standing{Tag: "A", Opened: true, UseBy: "2027-05-14", UsableML: 40_000}
	for useBy, want := range map[unit.Date]struct {
		first unit.Tag
		why   string
	}{
		"2027-04-20": {"A", "opened, use it up first"},
		"2027-04-14": {"A", "opened, use it up first"}, // 30 days is within the grace
		"2027-04-13": {"B", "expires 31 days sooner than the opened ones"},
		"2027-04-10": {"B", "expires 34 days sooner than the opened ones"},
	} {
		ranked := Rank([]Standing{{Tag: "B", UseBy: useBy, UsableML: 66_000}, a}, 30)
		if ranked[0].Tag != want.first || ranked[0].Why != want.why {
			t.Errorf("B on %s: first is %s, %q", useBy, ranked[0].Tag, ranked[0].Why)
		}
	}
}

func TestRankByEachTieBreaker(t *testing.T) {
	base := Standing{Tag: "M", UseBy: "2027-05-14", UsableML: 40_000, ReceivedAt: 1000}
	with := func(change func(*Standing)) Standing { s := base; change(&s); return s }
	for name, c := range map[string]struct {
		first, second Standing
		why           string
	}{
		"earlier use-by": {with(func(s *Standing) { s.UseBy = "2027-05-13"; s.UsableML = 90_000 }), base, "sealed, expires 1 day later"},
		"less gas":       {with(func(s *Standing) { s.UsableML = 30_000 }), with(func(s *Standing) { s.SamePlace = true }), "sealed, same use-by, more gas left"},
		"same place":     {with(func(s *Standing) { s.SamePlace = true; s.ReceivedAt = 9000 }), base, "sealed, same use-by, at another place"},
		"receipt":        {with(func(s *Standing) { s.ReceivedAt = 500; s.Tag = "Z" }), base, "sealed, same use-by, received later"},
		"tag":            {with(func(s *Standing) { s.Tag = "C" }), base, "sealed, same use-by, next by tag"},
		"dated first":    {base, with(func(s *Standing) { s.UseBy = ""; s.UsableML = 1 }), "sealed, undated"},
		"opened first":   {with(func(s *Standing) { s.Opened = true }), with(func(s *Standing) { s.UseBy = "2027-05-01" }), "sealed, earliest use-by"},
		"no reason needed": {with(func(s *Standing) { s.UseBy = "2029-01-01" }), with(func(s *Standing) { s.Opened, s.Asks = true, true }),
			"opened, but it needs a reason"},
		"to be found": {with(func(s *Standing) { s.Asks = true }), with(func(s *Standing) { s.Opened, s.Sought = true, true }),
			"opened, but somebody did not find it"},
		"one to be found makes no sealed one wait": {with(func(s *Standing) { s.UsableML = 1 }),
			with(func(s *Standing) { s.Opened, s.Sought, s.UseBy = true, true, "2029-01-01" }), "opened, but somebody did not find it"},
		"two opened": {with(func(s *Standing) { s.Opened = true }), with(func(s *Standing) { s.Opened = true; s.UseBy = "2027-06-14" }), "opened, expires 31 days later"},
	} {
		ranked := Rank([]Standing{c.second, c.first}, 30)
		if ranked[0].Standing != c.first || ranked[1].Why != c.why {
			t.Errorf("%s: first is %+v, the second stands there because %q", name, ranked[0], ranked[1].Why)
		}
	}
}

func TestRankOfOneAndOfNone(t *testing.T) {
	if got := Rank(nil, 30); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	if got := Rank([]Standing{{Tag: "A", UseBy: "2027-05-14"}}, 30); got[0].Why != "sealed, earliest use-by" {
		t.Errorf("got %q", got[0].Why)
	}
	if got := Rank([]Standing{{Tag: "A"}, {Tag: "B", Opened: true}}, 30); got[0].Tag != "B" {
		t.Errorf("undated ones are ranked %v", got)
	}
}

func TestClassesAreCountedFromTheEarliestOpenedOne(t *testing.T) {
	ranked := Rank([]Standing{
		{Tag: "OPEN-LATE", Opened: true, UseBy: "2027-12-01"}, {Tag: "OPEN-SOON", Opened: true, UseBy: "2027-05-14"},
		{Tag: "UNDATED"}, {Tag: "SEALED", UseBy: "2027-05-01"}, {Tag: "SOONER", UseBy: "2027-03-01"},
	}, 30)
	var got []string
	for _, r := range ranked {
		got = append(got, fmt.Sprint(r.Class, " ", r.Tag))
	}
	if want := []string{"0 SOONER", "1 OPEN-SOON", "1 OPEN-LATE", "2 SEALED", "2 UNDATED"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func anyStandings(t *rapid.T) []Standing {
	one := rapid.Custom(func(t *rapid.T) Standing {
		return Standing{
			Tag: unit.Tag(rapid.StringMatching(`[A-C]{2}`).Draw(t, "tag")), Opened: rapid.Bool().Draw(t, "opened"), UseBy: anyDate(t, "use-by"),
			UsableML: unit.Volume(rapid.Int64Range(0, 3).Draw(t, "usable")), SamePlace: rapid.Bool().Draw(t, "here"), Asks: rapid.Bool().Draw(t, "asks"),
			ReceivedAt: unit.Instant(rapid.Int64Range(0, 3).Draw(t, "received")),
		}
	})
	return rapid.SliceOfN(one, 0, 12).Draw(t, "standings")
}

func TestRankIsAPermutationWhateverTheInputOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, grace := anyStandings(t), rapid.IntRange(0, 90).Draw(t, "grace")
		before := slices.Clone(in)
		ranked := Rank(in, grace)
		if !slices.Equal(in, before) {
			t.Fatal("the caller's list is reordered")
		}
		seen := map[Standing]int{}
		for i := range in {
			seen[in[i]]++
			seen[ranked[i].Standing]--
		}
		for s, left := range seen {
			if left != 0 {
				t.Fatalf("%+v is lost or doubled", s)
			}
		}
		if again := Rank(rapid.Permutation(in).Draw(t, "shuffled"), grace); !slices.Equal(again, ranked) {
			t.Fatalf("the input order matters:\n%v\n%v", ranked, again)
		}
	})
}

func TestRankKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ranked := Rank(anyStandings(t), 30)
		for i, r := range ranked {
			if r.Why == "" || r.Opened != (r.Class == classOpened) {
				t.Fatalf("%+v", r)
			}
			if i == 0 {
				continue
			}
			switch first := ranked[i-1]; {
			case first.Asks && !r.Asks:
				t.Fatalf("%+v asks, and stands before %+v", first, r)
			case first.Asks == r.Asks && first.Class > r.Class:
				t.Fatalf("%+v stands before the better class of %+v", first, r)
			case first.Asks == r.Asks && first.Class == r.Class && r.UseBy != "" && (first.UseBy == "" || first.UseBy > r.UseBy):
				t.Fatalf("%+v stands before %+v, which expires sooner", first, r)
			}
		}
	})
}
