package demo

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

// ends are two moments at which the year ends: the noon of the scenarios, and a first minute of a day while Harrowmere
// has summer time.
var ends = []time.Time{time.Date(2027, 3, 3, 12, 0, 0, 0, time.UTC), time.Date(2028, 7, 14, 22, 1, 0, 0, time.UTC)}

// lived is a demo after its year.
type lived struct {
	*testing.T
	store  *store.Store
	now    func() time.Time
	result Result
}

func seeded(t *testing.T, now time.Time) lived {
	t.Helper()
	path := filepath.Join(t.TempDir(), "demo.db")
	result, err := Seed(t.Context(), path, now)
	if err != nil {
		t.Fatal(err)
	}
	return lived{t, storetest.Open(t, path), func() time.Time { return now }, result}
}

func (l lived) stock() stock.Room { return stock.Room{Store: l.store, Now: l.now} }

func TestSeed(t *testing.T) {
	var lives [][]event
	for _, end := range ends {
		t.Run(end.Format(time.DateOnly), func(t *testing.T) {
			l := seeded(t, end)
			l.isSound()
			l.walkedEveryRound()
			l.plansAsTheScenarios()
			l.holdsWhatItSays()
			l.hasTwoOut()
			l.leavesTasks()
			l.rememberedItsVersions()
			l.letsPeopleIn()
			l.takesWithAFullKit()
			l.stopsWhatIsWrong()
			l.knowsItsFleet()
			lives = append(lives, l.events())
		})
	}
	if len(lives) == 2 && !slices.Equal(lives[0], lives[1]) {
		for i := range lives[0] {
			if i == len(lives[1]) || lives[0][i] != lives[1][i] {
				t.Fatalf("entry %d differs between the years: %+v", i+1, lives[0][i])
			}
		}
	}
}

func (l lived) isSound() {
	l.Helper()
	v, err := l.store.Verify(l.Context())
	if err != nil || !v.Sound() || v.Entries < 1500 {
		l.Errorf("%+v, %v", v, err)
	}
}

// event is what of a ledger entry does not depend on tags and on the date of today.
type event struct {
	day, quantity         int64
	kind, by, unit, place string
}

// events gives the whole ledger, which lies within the year.
func (l lived) events() []event {
	l.Helper()
	entries, err := l.store.Entries(l.Context(), 0, 100_000)
	if err != nil {
		l.Fatal(err)
	}
	place, err := time.LoadLocation(zone)
	if err != nil {
		l.Fatal(err)
	}
	today, last := unit.DateOf(l.now().In(place)), unit.Instant(0)
	all := make([]event, len(entries))
	for i, e := range entries {
		day := -unit.DateOf(e.RecordedAt.Time().In(place)).DaysUntil(today)
		all[i] = event{int64(day), e.Quantity, e.Kind, e.ByName, e.Unit, e.Place}
		if e.RecordedAt < last || e.RecordedAt > unit.InstantOf(l.now()) || day < firstDay {
			l.Fatalf("entry %d is of %s", e.Seq, e.RecordedAt)
		}
		last = e.RecordedAt
	}
	return all
}

// walkedEveryRound checks that gas was there for every session, and that each came back as it should.
func (l lived) walkedEveryRound() {
	l.Helper()
	planned := 2 // chosen by hand: the rest that is used up, and the gas for the spare
	for day := yearBegins; day < 0; day++ {
		planned += len(sessionsOn(day))
	}
	verdicts := map[string]int{}
	for filter := (stock.CheckoutFilter{Limit: 100}); ; {
		page, err := l.stock().Checkouts(l.Context(), filter)
		if err != nil {
			l.Fatal(err)
		}
		for _, c := range page.Rows {
			verdicts[c.Verdict]++
		}
		if filter.After = page.Next; filter.After == 0 {
			break
		}
	}
	if verdicts[""] != 2 || verdicts[stock.Excess] != 1 || verdicts[stock.AsExpected] != planned-1 || len(verdicts) != 3 {
		l.Errorf("of %d sessions: %v", planned, verdicts)
	}
}

// plansAsTheScenarios checks the plan against the figures of R45 to R48 in the setting.
func (l lived) plansAsTheScenarios() {
	l.Helper()
	plan, err := purchase.Room{Store: l.store, Now: l.now}.Plan(l.Context())
	if err != nil {
		l.Fatal(err)
	}
	lines := map[string]purchase.Line{}
	for _, line := range plan.Lines {
		lines[line.Item] = line
	}
	within := func(what string, got, low, high float64) {
		l.Helper()
		if got < low || got > high {
			l.Errorf("%s: %.3f, not from %g to %g", what, got, low, high)
		}
	}
	q4, cl := lines[fourGas], lines[chlorine]
	within("litres of four-gas a week", q4.Forecast.Schedule*q4.Forecast.LitresPerUnit, 35.85, 35.95)
	within("litres of four-gas used", q4.Forecast.History*q4.Forecast.LitresPerUnit, 32, 37)
	within("litres of chlorine a week", cl.Forecast.Schedule*cl.Forecast.LitresPerUnit, 15.05, 15.15)
	within("litres of chlorine used", cl.Forecast.History*cl.Forecast.LitresPerUnit, 14, 16.5)
	within("four-gas on hand", q4.OnHand, 8.5, 9)
	within("four-gas that will expire", q4.WillExpire, 1.9, 2.5)
	within("reorder level of four-gas", q4.Level, 4.9, 5.4)
	if cl.Decide == nil || len(cl.Decide.Options) < 4 {
		l.Errorf("chlorine: %s", cl.Why)
	}
	for _, held := range []string{stock.CertificateMissing, stock.Damaged} {
		if !slices.ContainsFunc(q4.Held, func(h purchase.Held) bool { return h.Hold == held }) {
			l.Errorf("no four-gas is kept back for %s: %v", held, q4.Held)
		}
	}
	if n := lines[filter].OnHand; n != 0 {
		l.Errorf("%g filters are left", n)
	}
}

// holdsWhatItSays checks which cylinders stand where, and under which holds.
func (l lived) holdsWhatItSays() {
	l.Helper()
	list, err := l.stock().Cylinders(l.Context(), stock.CylindersQuestion{Stage: "all", Limit: 200})
	if err != nil {
		l.Fatal(err)
	}
	counts := map[string]int{}
	for _, c := range list.Rows {
		key := c.Item + " " + c.Stage
		if len(c.Holds) > 0 {
			key = c.Item + " " + strings.Join(c.Holds, ", ")
		}
		counts[key]++
		if c.Lot == "7K-2206" {
			counts[c.Supplier+" "+c.Item]++
		}
		if *c.DaysLeft == 21 && c.Stage != stock.Spent {
			counts["in three weeks"]++
		}
		if *c.DaysLeft < 0 && c.Stage == stock.Sealed {
			counts["expired"]++
		}
	}
	for what, want := range map[string]int{
		"Q4 opened": 2, "Q4 sealed": 7, "Q4 Certificate missing": 6, "Q4 Damaged/doubtful": 1, "CL Short-dated": 2, "CL opened": 2,
		"NH sealed": 2, "NH opened": 2, "northbank Q4": 12, "ferrow NH": 2, "in three weeks": 4, "expired": 1,
	} {
		if counts[what] != want {
			l.Errorf("%s: %d, want %d", what, counts[what], want)
		}
	}
	if counts["Q4 spent"] < 25 {
		l.Errorf("only %d cylinders of four-gas are spent after a year", counts["Q4 spent"])
	}
}

// hasTwoOut checks that one cylinder is out today with tests on the way, and one should be back for long.
func (l lived) hasTwoOut() {
	l.Helper()
	desk, err := l.stock().Desk(l.Context(), auth.Person{Role: auth.Clerk})
	if err != nil {
		l.Fatal(err)
	}
	if len(desk.Out) != 2 || desk.Late != 1 || desk.Expiring < 3 {
		l.Fatalf("%d late, %d expiring, out %+v", desk.Late, desk.Expiring, desk.Out)
	}
	for _, out := range desk.Out {
		c, err := l.stock().Checkout(l.Context(), auth.Person{Role: auth.Viewer}, out.Checkout)
		if err != nil {
			l.Fatal(err)
		}
		late := out.Holder == technicianB && out.From == van2 && out.LateDays == 5 && c.Progress.Logged == 4
		today := out.Holder == technicianA && out.From == bench && out.LateDays == 0 && c.Progress.Logged == 9
		if !late && !today {
			l.Errorf("%+v, %d tests", out, c.Progress.Logged)
		}
	}
}

func (l lived) leavesTasks() {
	l.Helper()
	for role, want := range map[auth.Role][]string{auth.Clerk: {"count", "find"}, auth.Purchaser: {"last_sealed"}} {
		desk, err := l.stock().Desk(l.Context(), auth.Person{Role: role})
		if err != nil {
			l.Fatal(err)
		}
		var kinds []string
		for _, task := range desk.Tasks {
			kinds = append(kinds, task.Kind)
		}
		if slices.Sort(kinds); !slices.Equal(kinds, want) {
			l.Errorf("a %s has to do: %v", role, kinds)
		}
	}
}

// rememberedItsVersions checks that the setting was changed on the way.
func (l lived) rememberedItsVersions() {
	l.Helper()
	settings, err := catalogue.CurrentSettings(l.Context(), l.store)
	if err != nil {
		l.Fatal(err)
	}
	before, err := catalogue.SettingsAt(l.Context(), l.store, settings.Version-1)
	if err != nil || before.GraceDays != graceAtFirst || settings.GraceDays != graceNow || settings.Zone != zone {
		l.Errorf("%d days, then %d, in %s: %v", before.GraceDays, settings.GraceDays, settings.Zone, err)
	}
	items, _ := catalogue.NounAt("items")
	past, err := catalogue.Room{Store: l.store, Now: l.now}.History(l.Context(), items, fourGas)
	if err != nil || len(past) != 2 || past[1].Object.(*catalogue.Item).Sources[0].Price != priceAtFirst {
		l.Errorf("%d versions of the item, %v", len(past), err)
	}
}

// letsPeopleIn checks that what is printed opens the door, for one; all passwords are the same.
func (l lived) letsPeopleIn() {
	l.Helper()
	roles := map[string]bool{}
	for _, who := range l.result.SignIns {
		roles[who.Role] = true
	}
	for _, role := range auth.Roles() {
		if !roles[string(role)] {
			l.Errorf("nobody is a %s", role)
		}
	}
	who := l.result.SignIns[0]
	if _, p, err := (auth.Room{Store: l.store, Now: l.now}).SignIn(l.Context(), who.Name, who.Password); err != nil || string(p.Role) != who.Role {
		l.Errorf("%+v, %v", p, err)
	}
	if gone := l.result.Clock().Sub(l.now()); gone <= 0 || gone > time.Minute {
		l.Errorf("the clock stands %v after the end of the year", gone)
	}
}

func TestSeedRefusesAnExistingFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.db")
	if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Seed(t.Context(), path, ends[0]); err == nil || !strings.Contains(err.Error(), "exists already") {
		t.Errorf("answered %v", err)
	}
	if text, err := os.ReadFile(path); err != nil || string(text) != "mine" {
		t.Errorf("%q, %v", text, err)
	}
}

func BenchmarkSeed(b *testing.B) {
	for b.Loop() {
		if _, err := Seed(b.Context(), filepath.Join(b.TempDir(), "demo.db"), ends[0]); err != nil {
			b.Fatal(err)
		}
	}
}
