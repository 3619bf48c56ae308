//go:build cgo

package handlers

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/views"
)

// The store of the benchmarks: so many items with so many cylinders of each, in lots of a hundred.
const (
	benchItems   = 200
	benchPerItem = 500
	benchPerLot  = 100
)

var benchNow = time.Date(2027, 3, 3, 9, 0, 0, 0, time.UTC)

// benchStore gives the path of a store of its own for a benchmark, and the tags in it by item.
func benchStore(b *testing.B) (path string, tags [][]unit.Tag) {
	b.Helper()
	seeded, err := seedBench()
	if err != nil {
		b.Fatal(err)
	}
	path = filepath.Join(b.TempDir(), "bench.db")
	if err := os.WriteFile(path, seeded.file, 0o600); err != nil {
		b.Fatal(err)
	}
	return path, seeded.tags
}

type benchSeed struct {
	file []byte
	tags [][]unit.Tag
}

// seedBench fills the store through the use cases, once for all benchmarks.
var seedBench = sync.OnceValues(func() (benchSeed, error) {
	dir, err := os.MkdirTemp("", "spanroom-bench-")
	if err != nil {
		return benchSeed{}, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "bench.db")
	var tags [][]unit.Tag
	err = store.Seed(context.Background(), path, func(s *store.Store) error {
		ctx, clock := context.Background(), func() time.Time { return benchNow }
		act := auth.Act{By: auth.Person{Name: "bench", Role: auth.Supervisor}}
		cat := catalogue.Room{Store: s, Now: clock}
		if err := cat.Start(ctx, act); err != nil {
			return err
		}
		orders := []catalogue.Order{
			&catalogue.Supplier{Code: "northbank", LeadTimeDays: 42, LeadTimeSDDays: 8},
			&catalogue.Place{Code: "CAGE", Kind: "cage"},
			&catalogue.Blend{Code: "Q4", Balance: "N2", Components: []catalogue.BlendPart{{Component: "CH4", Amount: "2.5 %vol"}, {Component: "O2", Amount: "18 %vol"}, {Component: "CO", Amount: "100 ppm"}, {Component: "H2S", Amount: "25 ppm"}}},
			&catalogue.Procedure{Code: "bump-q4", Purpose: "bump", Blend: "Q4", Flow: "0.3 L/min", Duration: "30 s", Purge: "0.3 L"},
			&catalogue.Regulator{Code: "R-01", Inlet: "C-10", MaxPressure: "103 bar", Mode: "fixed", Flow: "0.3 L/min", Body: "stainless"},
		}
		for i := range benchItems {
			orders = append(orders, &catalogue.Item{Code: fmt.Sprintf("Q4-%d", i), Kind: "gas", Blend: "Q4", WaterVolume: "1.0 L", FillPressure: "69 bar", Outlet: "C-10", Cutoff: "2.0 bar"})
		}
		for _, order := range orders {
			if _, err := cat.Make(ctx, act, order); err != nil {
				return err
			}
		}
		room := stock.Room{Store: s, Now: clock}
		tags = make([][]unit.Tag, benchItems)
		for i := range benchItems {
			for lot := range benchPerItem / benchPerLot {
				got, err := room.Receive(ctx, act, benchReceipt(i, lot))
				if err != nil {
					return err
				}
				for _, c := range got.Cylinders {
					tags[i] = append(tags[i], c.Tag)
				}
			}
		}
		return nil
	})
	if err != nil {
		return benchSeed{}, err
	}
	file, err := os.ReadFile(path)
	return benchSeed{file, tags}, err
})

func benchReceipt(item, lot int) stock.ReceiveOrder {
	return stock.ReceiveOrder{
		Supplier: "northbank", Item: fmt.Sprintf("Q4-%d", item), Lot: fmt.Sprintf("L%dX%d", item, lot), Counted: benchPerLot, FilledOn: "2027-01-10", Place: "CAGE",
		LabelExpiresOn: "2028-01-10",
		Certificate: &stock.CertificateOrder{Number: fmt.Sprintf("C-%d-%d", item, lot), IssuedOn: "2027-01-12", ExpiresOn: "2028-01-10", Values: []stock.ValueOrder{
			{Component: "CH4", Amount: "2.5 %vol", Uncertainty: "0.05 %vol"}, {Component: "O2", Amount: "18 %vol", Uncertainty: "0.2 %vol"},
			{Component: "CO", Amount: "100 ppm", Uncertainty: "2 ppm"}, {Component: "H2S", Amount: "25 ppm", Uncertainty: "0.5 ppm"}}},
	}
}

// benchServer serves the store over TCP as the program does, and gives its address and a technician's token.
func benchServer(b *testing.B, path string) (address, token string) {
	b.Helper()
	s, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	clock := func() time.Time { return benchNow }
	people := auth.Room{Store: s, Now: clock}
	if token, err = people.AddToken(context.Background(), "technician", auth.Technician); err != nil {
		b.Fatal(err)
	}
	set, err := views.Load("")
	if err != nil {
		b.Fatal(err)
	}
	app := New(Rooms{Auth: people, Catalogue: catalogue.Room{Store: s, Now: clock}, Stock: stock.Room{Store: s, Now: clock},
		Purchase: purchase.Room{Store: s, Now: clock}, Views: set, Ready: s.Ready, Now: clock, Log: discard()})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- app.Listener(listener) }()
	b.Cleanup(func() {
		if err := app.ShutdownWithTimeout(5 * time.Second); err != nil {
			b.Error(err)
		}
		if err := <-ended; err != nil {
			b.Error(err)
		}
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	})
	return "http://" + listener.Addr().String(), token
}

// client is one of many that keep their connection.
func client() *http.Client {
	return &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64, MaxConnsPerHost: 64}}
}

func call(b *testing.B, c *http.Client, method, url, token, body string, want int) {
	req, err := http.NewRequest(method, url, bytes.NewBufferString(body))
	if err != nil {
		b.Error(err)
		return
	}
	req.Header.Set("Authorization", "Bearer "+token)
	req.Header.Set("Content-Type", "application/json")
	res, err := c.Do(req)
	if err != nil {
		b.Error(err)
		return
	}
	answer, err := io.ReadAll(res.Body)
	if err = closing(err, res.Body); err != nil || res.StatusCode != want {
		b.Errorf("%s %s: %d %v %.300s", method, url, res.StatusCode, err, answer)
	}
}

func closing(err error, c io.Closer) error {
	if closeErr := c.Close(); err == nil {
		err = closeErr
	}
	return err
}

// BenchmarkCheckOuts sets durable check-outs over HTTP from 32 clients beside one writer's bare prepared transactions on the same
// schema with the same durability. The ratio of the two ns/op is the figure.
func BenchmarkCheckOuts(b *testing.B) {
	path, tags := benchStore(b)
	b.Run("bare", func(b *testing.B) { bareCheckOuts(b, path, tags[benchItems-1]) })
	var taken atomic.Int64 // a benchmark is run with growing counts; each cylinder can be taken once
	b.Run("http-32", func(b *testing.B) { httpCheckOuts(b, path, tags[:benchItems-1], &taken) })
}

func httpCheckOuts(b *testing.B, path string, tags [][]unit.Tag, next *atomic.Int64) {
	address, token := benchServer(b, path)
	c := client()
	end := next.Load() + int64(b.N)
	var clients sync.WaitGroup
	b.ResetTimer()
	for range 32 {
		clients.Go(func() {
			for {
				n := int(next.Add(1)) - 1
				if int64(n) >= end || b.Failed() {
					return
				}
				// Items in turn, so that each has its own recommendation to be held against.
				item, at := n%len(tags), n/len(tags)
				if at >= benchPerItem {
					b.Error("the benchmark has no more cylinders")
					return
				}
				call(b, c, "POST", address+"/api/v1/checkouts", token, fmt.Sprintf(`{"cylinder":%q,"item":"Q4-%d","tests":[{"procedure":"bump-q4","count":14}],
					"from":"2027-03-03","until":"2027-03-03"}`, tags[item][at], item), http.StatusCreated)
			}
		})
	}
	clients.Wait()
	next.Store(end) // each client counted once more than it took
}

// bareCheckOuts is what any program has to do: read the cylinder, change it if nobody else has, write one line, commit.
func bareCheckOuts(b *testing.B, path string, tags []unit.Tag) {
	db := bareWriter(b, path)
	read := prepare(b, db, `SELECT id, version FROM cylinders WHERE tag = ?`)
	change := prepare(b, db, `UPDATE cylinders SET held_since = ?, version = version + 1 WHERE id = ? AND version = ?`)
	line := prepare(b, db, `INSERT INTO tasks (role, kind, subject, text, opened_at, closed_at, closed_by) VALUES ('clerk', 'bench', ?, 'taken', ?, 1, 'bench')`)
	b.ResetTimer()
	for n := range b.N {
		tx, err := db.Begin()
		if err != nil {
			b.Fatal(err)
		}
		var id, version int64
		if err := tx.Stmt(read).QueryRow(string(tags[n%len(tags)])).Scan(&id, &version); err != nil {
			b.Fatal(err)
		}
		if _, err := tx.Stmt(change).Exec(n, id, version); err != nil {
			b.Fatal(err)
		}
		if _, err := tx.Stmt(line).Exec(string(tags[n%len(tags)]), n); err != nil {
			b.Fatal(err)
		}
		if err := tx.Commit(); err != nil {
			b.Fatal(err)
		}
	}
}

func prepare(b *testing.B, db *sql.DB, query string) *sql.Stmt {
	b.Helper()
	stmt, err := db.Prepare(query)
	if err != nil {
		b.Fatal(err)
	}
	return stmt
}

// BenchmarkRecommend sets a recommendation over a hundred thousand cylinders beside the raw query for the same rows.
func BenchmarkRecommend(b *testing.B) {
	path, _ := benchStore(b)
	b.Run("raw query", func(b *testing.B) { rawRows(b, path) })
	b.Run("use case", func(b *testing.B) { recommendations(b, path) })
}

func rawRows(b *testing.B, path string) {
	db := bareReader(b, path)
	query := prepare(b, db, `SELECT c.id, c.tag, c.stage, c.pressure_pa, l.label_expires_on FROM cylinders c JOIN lots l ON l.id = c.lot_id
		WHERE c.item_id = (SELECT id FROM items WHERE code = ?) AND c.stage IN ('received', 'sealed', 'opened') ORDER BY l.label_expires_on, c.id`)
	b.ResetTimer()
	for n := range b.N {
		rows, err := query.Query(fmt.Sprintf("Q4-%d", n%benchItems))
		if err != nil {
			b.Fatal(err)
		}
		count := 0
		for rows.Next() {
			var id, pressure int64
			var tag, stage, expires string
			if err := rows.Scan(&id, &tag, &stage, &pressure, &expires); err != nil {
				b.Fatal(err)
			}
			count++
		}
		if err := closing(rows.Err(), rows); err != nil || count != benchPerItem {
			b.Fatal(count, err)
		}
	}
}

func recommendations(b *testing.B, path string) {
	s, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	room := stock.Room{Store: s, Now: func() time.Time { return benchNow }}
	by := auth.Person{ID: 1, Name: "bench", Role: auth.Technician}
	b.ResetTimer()
	for n := range b.N {
		got, err := room.Recommend(context.Background(), by, stock.TakeOrder{Item: fmt.Sprintf("Q4-%d", n%benchItems), Tests: []stock.TestOrder{{Procedure: "bump-q4", Count: 14}}})
		if err != nil || got.Pick == nil {
			b.Fatal(err, got.Findings)
		}
	}
}

// BenchmarkCylinderPage sets the cylinder page, as HTML over HTTP, beside a bare handler of the same framework with one read.
func BenchmarkCylinderPage(b *testing.B) {
	path, tags := benchStore(b)
	b.Run("bare handler", func(b *testing.B) { bareHandler(b, path, tags[0][0]) })
	session := benchSession(b, path)
	b.Run("page", func(b *testing.B) { cylinderPages(b, path, session, tags[0][0]) })
}
