package stock

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

func (f *field) tags(picks []int) string {
	var tags []string
	for _, i := range picks {
		tags = append(tags, string(f.candidates[i].Tag))
	}
	return fmt.Sprint(tags)
}

func TestOpenedFirstUnlessASealedOneExpiresMuchSooner(t *testing.T) { // S29
	v := shelfOf()
	a := bottle("A", q4Lot("2027-05-14")).opened(40, "2027-02-01")
	for useBy, want := range map[unit.Date]string{"2027-04-20": "[A B]", "2027-04-14": "[A B]", "2027-04-13": "[B A]", "2027-04-10": "[B A]"} {
		f := v.judged(bumps(14), a, bottle("B", q4Lot(useBy)))
		if got := f.tags(f.fit); got != want {
			t.Errorf("B on %s: %s, want %s", useBy, got, want)
		}
	}
	f := v.judged(bumps(14), a, bottle("B", q4Lot("2027-04-10")))
	if p := f.recommend().Pick; p.Tag != "B" || p.Why != "expires 34 days sooner than the opened ones" {
		t.Errorf("%s: %s", p.Tag, p.Why)
	}
}

func TestWhatNeedsAReasonComesLast(t *testing.T) {
	v := shelfOf()
	short := dial(bottle("A", q4Lot("2027-05-14")).opened(12, "2027-02-01"))
	f := v.judged(cals(12), short, bottle("B", q4Lot("2027-09-01")))
	if got := f.tags(f.fit); got != "[B A]" {
		t.Errorf("the order is %s", got)
	}
	a := f.recommend()
	if len(a.Alternatives) != 1 || a.Alternatives[0].Why != "opened, but it needs a reason" || problem.Worst(a.Alternatives[0].Findings) != problem.Ask {
		t.Errorf("%+v", a.Alternatives)
	}
	only := v.judged(cals(12), short)
	if p := only.recommend().Pick; p == nil || problem.Worst(p.Findings) != problem.Ask {
		t.Errorf("the only one is offered with what it asks: %+v", p)
	}
}

func TestPassedOverAreThoseBeforeThePickAndTheRestIsCounted(t *testing.T) {
	v := shelfOf()
	list := []cylinder{bottle("PICK", q4Lot("2027-06-01")), bottle("LATE1", q4Lot("2027-09-01")).hold(Recalled), bottle("OUT", q4Lot("2027-07-01"))}
	list[2].PlaceID, list[2].HolderID, list[2].holder = nil, new(int64(1)), "A"
	for i := range 25 {
		list = append(list, bottle(fmt.Sprintf("OLD%02d", i), q4Lot("2027-03-01")))
	}
	list = append(list, bottle("OPEN", q4Lot("2027-06-20")).opened(40, "2027-02-01").hold(DoubtfulGas))
	a := v.judged(bumps(14), list...).recommend()
	if a.Pick.Tag != "PICK" || len(a.PassedOver) != mostPassedOver {
		t.Fatalf("%s, %d passed over", a.Pick.Tag, len(a.PassedOver))
	}
	for _, p := range a.PassedOver {
		if p.Tag == "LATE1" || p.Tag == "OUT" || problem.Worst(p.Findings) != problem.Stop {
			t.Errorf("%s is told as passed over: %s", p.Tag, say(p.Findings))
		}
	}
	if got := fmt.Sprint(a.PassedOverCount); got != "map[R26:25 R27:2 R30:1]" {
		t.Errorf("counted are %s", got)
	}
	if open := v.judged(bumps(14), list[0], list[len(list)-1]).recommend(); len(open.PassedOver) != 1 || open.PassedOver[0].Tag != "OPEN" {
		t.Errorf("an opened one that is held comes before the sealed pick: %+v", open.PassedOver)
	}
}

func TestPairFinishesTheOpenedOne(t *testing.T) {
	v := shelfOf()
	a, b := bottle("A", q4Lot("2027-05-14")).opened(6, "2027-02-01"), bottle("B", q4Lot("2027-09-01"))
	r := v.judged(bumps(44), a, b).recommend()
	if r.Pick == nil || r.Pick.Tag != "B" || r.Pair == nil || r.Pair.First.Tag != "A" || r.Pair.Second.Tag != "B" {
		t.Fatalf("pick %+v, pair %+v", r.Pick, r.Pair)
	}
	if sum := r.Pair.First.Tests[0].Count + r.Pair.Second.Tests[0].Count; sum != 44 {
		t.Errorf("the pair does %d tests: %s", sum, r.Pair.Words)
	}
	short := v.judged(bumps(44), a, with(b, func(c *cylinder) { *c = c.opened(7, "2027-02-01") })).recommend()
	if short.Pick != nil || short.Pair == nil {
		t.Fatalf("two short ones: pick %+v, pair %+v", short.Pick, short.Pair)
	}
	contains(t, "the way out", say(short.Findings), "R15 stop none of the 2 at hand may be taken for this: 2 by R20 (not enough gas)")
	contains(t, "the way out", say(short.Findings), "finish A (")
	if r := v.judged(cals(20), a, b).recommend(); r.Pair != nil {
		t.Errorf("an instrument is calibrated with two: %s", r.Pair.Words)
	}
	if r := v.judged(bumps(10), a, b).recommend(); r.Pair != nil || r.Pick.Tag != "A" {
		t.Errorf("A alone suffices: %+v", r.Pair)
	}
}

func TestAdsorbingGasIsUsedUpByBumpTests(t *testing.T) { // R16c
	v := shelfOf()
	rest := bottle("REST", clLot("2027-12-01")).opened(10, "2027-03-01") // until 15 May
	soon := bottle("SOON", clLot("2027-04-01"))
	f := v.judged(bumps(3), rest, soon)
	contains(t, "suggestions", f.tags(f.fit)+say(f.recommend().Findings), "[SOON REST]")
	contains(t, "suggestions", say(f.recommend().Findings), "R16 note it is opened, has 7.9 L and 73 days left")
	if got := v.judged(cals(3), rest, soon).recommend().Findings; len(got) != 0 {
		t.Errorf("for calibration: %s", say(got))
	}
}

func TestNothingAtHandSaysWhyAndWhatElse(t *testing.T) {
	v := shelfOf()
	out := bottle("OUT", q4Lot("2027-07-01"))
	out.PlaceID, out.HolderID, out.holder = nil, new(int64(1)), "A"
	soon := bottle("SOON", q4Lot("2027-03-05"))
	held := bottle("HELD", q4Lot("2027-07-01")).hold(CertificateMissing)
	a := v.judged(cals(4).through("2027-03-08"), out, soon, held).recommend() // S41
	if a.Pick != nil || a.Margin != nil || len(a.Alternatives) != 0 || len(a.PassedOver) != 3 {
		t.Fatalf("%+v", a)
	}
	for _, part := range []string{"1 by R26", "1 by R27", "1 by R30", "ask A for OUT", "plan the use of SOON to end by 5 Mar 2027", "have the hold on HELD released"} {
		contains(t, "why none", say(a.Findings), part)
	}
	contains(t, "none at all", say(v.judged(bumps(1)).recommend().Findings), "there is no cylinder of it here, sealed or opened → tell the purchaser")
}

// anyShelf draws cylinders in every state, and a need for them.
func anyShelf(t *rapid.T) (need, []cylinder) {
	n := bumps(rapid.Int64Range(1, 200).Draw(t, "bumps"))
	if rapid.Bool().Draw(t, "calibrate") {
		n = cals(rapid.Int64Range(1, 60).Draw(t, "cals"))
	}
	n.until = unit.Date("2027-03-03").AddDays(rapid.IntRange(0, 60).Draw(t, "days"))
	lots := []*lot{q4Lot("2027-03-20"), q4Lot("2027-04-10"), q4Lot("2027-09-01"), q4Lot("")}
	list := make([]cylinder, rapid.IntRange(0, 8).Draw(t, "cylinders"))
	for i := range list {
		list[i] = bottle(fmt.Sprintf("C%02d", i), rapid.SampledFrom(lots).Draw(t, "lot"))
		list[i].ID = int64(i + 1)
		if rapid.Bool().Draw(t, "opened") {
			list[i] = list[i].opened(rapid.Float64Range(0, 69).Draw(t, "bar"), "2027-02-01")
		}
		if rapid.IntRange(0, 3).Draw(t, "hold") == 0 {
			list[i] = list[i].hold(rapid.SampledFrom(holdReasons).Draw(t, "reason"))
		}
		if rapid.IntRange(0, 4).Draw(t, "out") == 0 {
			list[i].PlaceID, list[i].HolderID, list[i].holder = nil, new(int64(9)), "A"
		}
	}
	return n, list
}

func TestWhatIsRecommendedPassesAndNothingBetterIsLeftOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, list := anyShelf(t)
		v := shelfOf()
		f := v.judged(n, list...)
		a := f.recommend()
		for _, p := range append(slices.Clone(a.Alternatives), deref(a.Pick)...) {
			c := list[slices.IndexFunc(list, func(c cylinder) bool { return c.Tag == p.Tag })]
			if d := v.decide(c, n); d.stopped() {
				t.Fatalf("%s is offered and stopped: %s", p.Tag, say(d.findings))
			}
		}
		passing := 0
		for _, c := range list {
			if !v.decide(c, n).stopped() {
				passing++
			}
		}
		if (a.Pick == nil) != (passing == 0) || len(a.Alternatives) != min(3, max(0, passing-1)) {
			t.Fatalf("%d pass, pick %v and %d alternatives", passing, a.Pick, len(a.Alternatives))
		}
		if a.Pick == nil && problem.Worst(a.Findings) != problem.Stop {
			t.Fatal("there is no pick and no word why")
		}
		if p := a.Pair; p != nil {
			checkPair(t, v, n, list, p)
		}
	})
}

func deref(p *Pick) []Pick {
	if p == nil {
		return nil
	}
	return []Pick{*p}
}

func checkPair(t *rapid.T, v *view, n need, list []cylinder, p *Pair) {
	sum := int64(0)
	for _, part := range []PairPart{p.First, p.Second} {
		c := list[slices.IndexFunc(list, func(c cylinder) bool { return c.Tag == part.Tag })]
		own := n
		own.tests = []testCount{{Procedure: n.tests[0].Procedure, Count: part.Tests[0].Count}}
		if d := v.decide(c, own); d.stopped() {
			t.Fatalf("%s of a pair is stopped: %s", part.Tag, say(d.findings))
		}
		sum += part.Tests[0].Count
	}
	if sum != n.tests[0].Count || p.First.Tag == p.Second.Tag {
		t.Fatalf("the pair %+v is not the need", p)
	}
}

func TestAnotherProblemNeverMakesAVerdictMilder(t *testing.T) {
	worsen := map[string]func(*rapid.T, *cylinder, *need){
		"a hold": func(t *rapid.T, c *cylinder, _ *need) { *c = c.hold(rapid.SampledFrom(holdReasons).Draw(t, "reason")) },
		"less gas": func(t *rapid.T, c *cylinder, _ *need) {
			c.Pressure -= min(c.Pressure, unit.PressureBar(rapid.Float64Range(0, 30).Draw(t, "less")))
		},
		"more tests": func(t *rapid.T, _ *cylinder, n *need) {
			n.tests = []testCount{{Procedure: n.tests[0].Procedure, Count: n.tests[0].Count + rapid.Int64Range(1, 50).Draw(t, "more")}}
		},
		"longer use": func(t *rapid.T, _ *cylinder, n *need) {
			n.until = n.until.AddDays(rapid.IntRange(1, 90).Draw(t, "longer"))
		},
		"sooner dates":  func(t *rapid.T, c *cylinder, _ *need) { c.lot, c.paper = earlier(c.lot), earlier(c.lot).certificate },
		"out":           func(_ *rapid.T, c *cylinder, _ *need) { c.PlaceID, c.HolderID = nil, new(int64(9)) },
		"coarser gauge": func(_ *rapid.T, c *cylinder, _ *need) { c.Gauge = "dial" },
	}
	for name, change := range worsen {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			n, list := anyShelf(t)
			v := shelfOf()
			for _, c := range list {
				before := problem.Worst(v.decide(c, n).findings)
				worse, more := c, n
				change(t, &worse, &more)
				if after := problem.Worst(v.decide(worse, more).findings); rank(after) < rank(before) {
					t.Fatalf("%s was %q and is %q now: %s", c.Tag, before, after, say(v.decide(worse, more).findings))
				}
			}
		}))
	}
}

func earlier(l *lot) *lot {
	if l.certificate == nil {
		return l
	}
	sooner := *l
	paper := *l.certificate
	paper.ExpiresOn = paper.ExpiresOn.AddDays(-20)
	sooner.certificate = &paper
	return &sooner
}

func rank(s problem.Severity) int {
	return slices.Index([]problem.Severity{"", problem.Note, problem.Ask, problem.Stop}, s)
}
