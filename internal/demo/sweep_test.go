package demo

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"spanroom/internal/purchase"
	"spanroom/internal/store/storetest"
	"spanroom/internal/stock"
)

func TestSweep(t *testing.T) {
	for i := 0; i < 40; i++ {
		now := time.Date(2026, 11, 25, (i*7)%24, 3, 0, 0, time.UTC).AddDate(0, 0, i*23)
		path := filepath.Join(t.TempDir(), "d.db")
		if _, err := Seed(t.Context(), path, now); err != nil { t.Error(now, err); continue }
		s := storetest.Open(t, path)
		clock := func() time.Time { return now }
		p, err := purchase.Room{Store: s, Now: clock}.Plan(t.Context())
		if err != nil { t.Error(err) }
		v, err := s.Verify(t.Context())
		line := now.Format("2006-01-02T15")+" "
		for _, l := range p.Lines { line += fmt.Sprintf("%s %s %.2f/%.2f h%.1f ", l.Item, l.State, l.OnHand, l.Usable, l.Forecast.History*l.Forecast.LitresPerUnit) }
		c, _ := stock.Room{Store: s, Now: clock}.Checkouts(t.Context(), stock.CheckoutFilter{})
		fmt.Println(line, v.Sound(), err, len(c.Rows), v.Entries)
	}
}
