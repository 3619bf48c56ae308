package stock

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/models"
)

// use reads what the gas is for: the tests that are named, else those of the instruments or of the round. The instruments
// have these tests, whichever way they are named.
func (r *needReader) use(ctx context.Context, o TakeOrder, round *roundUse) {
	rows := only(o.Tests, func(t TestOrder) bool { return t != TestOrder{} })
	f := r.monitors(ctx, o, round)
	switch {
	case len(rows) > 0:
		r.named(ctx, o.Tests)
		r.all(f)
	case len(o.Instruments) > 0:
		r.instruments(ctx, o, f)
	case round != nil:
		r.ofInstruments(round, f, o.Purpose)
		r.all(f)
	case o.Purpose == "":
		r.wrong.Add("tests", "it is not said what the gas is for", "name the tests and how many, or instruments with a purpose, or a round")
	}
	r.purpose = most(r.tests)
	if o.Purpose.exacting() > r.purpose.exacting() {
		r.purpose = o.Purpose
	}
}

// named reads the rows of tests; a row that is blank is skipped.
func (r *needReader) named(ctx context.Context, rows []TestOrder) {
	if len(rows) > mostTestLines {
		r.wrong.Add("tests", fmt.Sprintf("there are %d lines of tests", len(rows)), fmt.Sprintf("put the same procedures together; %d lines are the most", mostTestLines))
		return
	}
	for i, row := range rows {
		if row == (TestOrder{}) {
			continue
		}
		field := fmt.Sprintf("tests.%d.", i)
		if row.Count < 1 || row.Count > mostTests {
			r.wrong.Add(field+"count", fmt.Sprintf("%d is out of range", row.Count), fmt.Sprintf("give the number of tests, from 1 to %d", mostTests))
		}
		if strings.TrimSpace(row.Procedure) == "" {
			r.wrong.Add(field+"procedure", "the procedure is not given", "choose one from the list of procedures")
			continue
		}
		p := found(ctx, r, field+"procedure", "procedure", row.Procedure, r.store.ProcedureByCode)
		if p != nil && r.fits(ctx, field+"procedure", *p) {
			r.tests = append(r.tests, testCount{Procedure: *p, Count: row.Count})
		}
	}
}

// fits tells whether a procedure is done with the gas that is wanted.
func (r *needReader) fits(ctx context.Context, field string, p models.Procedure) bool {
	if p.BlendID == nil || r.blend.ID == 0 || *p.BlendID == r.blend.ID {
		return true
	}
	codes, err := r.store.BlendCodes(ctx)
	if err != nil {
		r.broken = err
		return false
	}
	r.wrong.Add(field, fmt.Sprintf("%s is done with %s, not with %s", p.Code, codes[*p.BlendID], r.blend.Code), "choose a procedure for "+r.blend.Code+", or another gas")
	return false
}

// instruments makes one test for each instrument: by the procedure for this gas and purpose that is on its own schedule, else
// by the one that takes most gas, so that it suffices in any case.
func (r *needReader) instruments(ctx context.Context, o TakeOrder, f monitors) {
	if o.Purpose == "" {
		r.wrong.Add("purpose", "it is not said what the instruments are tested for", "choose one of "+list(catalogue.Purposes()))
	}
	if o.Purpose == "" || r.blend.ID == 0 || r.broken != nil || len(f.serials) == 0 {
		return
	}
	var choice []models.Procedure
	r.fail(func() (err error) {
		choice, err = r.store.ProceduresFor(ctx, r.blend.ID, string(o.Purpose))
		return err
	})
	if len(choice) == 0 {
		if r.broken == nil {
			r.wrong.Add("purpose", fmt.Sprintf("there is no %s procedure with %s", o.Purpose, r.blend.Code), "make the procedure in the catalogue, or name the tests")
		}
		return
	}
	slices.SortStableFunc(choice, func(a, b models.Procedure) int { return cmp.Compare(r.testLitres(b), r.testLitres(a)) })
	theirs := f.scheduled(choice)
	r.on = r.group(f, f.serials)
	for _, p := range choice {
		if serials := theirs[p.Code]; len(serials) > 0 {
			r.tests = append(r.tests, testCount{p, int64(len(serials)), r.group(f, serials)})
		}
	}
}

func names(choice []models.Procedure, code string) bool {
	return slices.ContainsFunc(choice, func(p models.Procedure) bool { return p.Code == code })
}

// roundUse is a round with its procedures.
type roundUse struct {
	catalogue.Round
	procedures map[string]models.Procedure
}

// round reads the round that is named, and stands in its place where no other is given.
func (r *needReader) round(ctx context.Context, o *TakeOrder) *roundUse {
	code := strings.TrimSpace(o.Round)
	if code == "" {
		return nil
	}
	use := &roundUse{}
	if !r.document(ctx, "round", code, &use.Round) {
		r.unknown(ctx, "round", "round", code)
		return nil
	}
	if strings.TrimSpace(o.Place) == "" {
		o.Place = use.Place
	}
	codes := make([]string, len(use.Tests))
	for i, t := range use.Tests {
		codes[i] = t.Procedure
	}
	r.fail(func() (err error) { use.procedures, err = r.store.ProceduresByCode(ctx, codes); return err })
	return use
}

// document reads a thing of the catalogue as it is now; it tells whether there is one.
func (r *needReader) document(ctx context.Context, noun, code string, into any) bool {
	v, there, err := r.store.LatestVersion(ctx, noun, code)
	if err == nil && there {
		err = json.Unmarshal([]byte(v.Doc), into)
	}
	r.fail(func() error { return err })
	return there
}

// ofRound takes the gas of the round's tests where they all use the same.
func (r *needReader) ofRound(ctx context.Context, round *roundUse) {
	blends := map[int64]bool{}
	for _, p := range round.procedures {
		if p.BlendID != nil {
			blends[*p.BlendID] = true
		}
	}
	ids := slices.Sorted(maps.Keys(blends))
	if len(ids) != 1 {
		r.wrong.Add("item", fmt.Sprintf("round %s uses %d gases", round.Code, len(ids)), "choose the item to take")
		return
	}
	r.fail(func() error {
		blend, err := r.store.BlendByID(ctx, ids[0])
		if err == nil {
			r.ofBlend(ctx, blend)
		}
		return err
	})
}

// ofInstruments counts what one session of a round takes of this gas: for a purpose each instrument once, else each
// procedure as often as it falls on a session, and the most frequent one at least once.
func (r *needReader) ofInstruments(round *roundUse, f monitors, purpose Purpose) {
	var usual testCount
	most := 0.0
	for _, t := range round.Tests {
		p, known := round.procedures[t.Procedure]
		if !known || p.BlendID != nil && *p.BlendID != r.blend.ID || purpose != "" && Purpose(p.Purpose) != purpose {
			continue
		}
		each := 1.0
		if purpose == "" && round.SessionsPerWeek > 0 {
			each = t.TimesPerWeek / round.SessionsPerWeek
		}
		count := math.Min(each*float64(len(f.serials)), mostTests)
		if count > most {
			usual, most = testCount{Procedure: p, Count: 1}, count
		}
		if count := int64(math.Round(count)); count > 0 {
			r.tests = append(r.tests, testCount{Procedure: p, Count: count})
		}
	}
	switch {
	case len(r.tests) > 0 || r.blend.ID == 0:
	case most > 0:
		r.tests = []testCount{usual}
	default:
		r.wrong.Add("round", fmt.Sprintf("round %s has no such tests with %s", round.Code, r.blend.Code), "name the tests, or choose another gas or round")
	}
}
