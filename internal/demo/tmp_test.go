package demo

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
)

func TestTmp(t *testing.T) {
	start := time.Now()
	path := filepath.Join(t.TempDir(), "d.db")
	now := time.Date(2027, 3, 3, 12, 0, 0, 0, time.UTC)
	_, err := Seed(t.Context(), path, now)
	t.Log(time.Since(start), err)
	if err != nil {
		return
	}
	s := storetest.Open(t, path)
	show(t.Context(), s, now)
	r := stock.Room{Store: s, Now: func() time.Time { return now }}
	for _, n := range []string{clerk, technicianA, purchaser, supervisor} {
		p, _ := s.PersonByName(t.Context(), n)
		d, err := r.Desk(t.Context(), auth.Person{ID: p.ID, Name: n, Role: auth.Role(p.Role)})
		fmt.Printf("== %s %v late %d expiring %d hold %d\n mine %+v\n out %+v\n", n, err, d.Late, d.Expiring, d.OnHold, d.Mine, d.Out)
		for _, x := range d.UseFirst {
			fmt.Printf("  first %+v\n", x)
		}
		for _, x := range d.Tasks {
			fmt.Printf("  task %+v\n", x)
		}
		for _, x := range d.Holds {
			fmt.Printf("  hold %+v\n", x)
		}
	}
	entries, _ := s.Entries(t.Context(), 0, 100000)
	kinds := map[string]int{}
	for _, e := range entries {
		kinds[e.Kind]++
		if e.Reason != "" && e.Kind != "use" {
			fmt.Println(e.Seq, unit.DateOf(e.HappenedAt.Time()), e.ByName, e.Kind, e.Subject, e.Reason)
		}
	}
	fmt.Println(kinds)
	v, err := s.Verify(t.Context())
	fmt.Println(v.Sound(), v.Fault, v.Entries, err)
}

func show(ctx context.Context, s *store.Store, now time.Time) {
	clock := func() time.Time { return now }
	r := stock.Room{Store: s, Now: clock}
	list, err := r.Cylinders(ctx, stock.CylindersQuestion{Stage: "all", Limit: 200, Sort: stock.ByArrival})
	if err != nil {
		fmt.Println(err)
	}
	for _, c := range list.Rows {
		u := -1.0
		if c.UsableL != nil {
			u = *c.UsableL
		}
		fmt.Printf("%s %-3s %-9s %-10s %-8s %-8s %-12s %s %3d L%6.1f %v\n", c.Tag, c.Item, c.Lot, c.Supplier, c.Stage, c.Place, c.Holder, c.ExpiresOn, *c.DaysLeft, u, c.Holds)
	}
	p, err := purchase.Room{Store: s, Now: clock}.Plan(ctx)
	if err != nil {
		fmt.Println(err)
	}
	for _, l := range p.Lines {
		fmt.Printf("%s %s onhand %.2f usable %.2f expire %.2f level %.2f orderby %s prop %d fc %+v\n   %s\n", l.Item, l.State, l.OnHand, l.Usable, l.WillExpire, l.Level, l.OrderBy, l.Proposed, l.Forecast, l.Why)
		if l.Decide != nil {
			for _, o := range l.Decide.Options {
				fmt.Println("      ", o.Text)
			}
		}
		for _, f := range l.Findings {
			fmt.Println("    !", f.Rule, f.Text)
		}
	}
}
