package stock

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"slices"
	"testing"

	"spanroom/internal/store/storetest"
	"spanroom/models"
)

// The size of a large storeroom: one recommendation looks at the cylinders of one item.
const (
	manyItems = 200
	ofAnItem  = 500
	lotsOfOne = 10

	fleetOfMany = 20 // instruments, and as many regulators, tubings and caps
)

// BenchmarkRecommend shows a recommendation beside the bare query for the same rows, among 100,000 cylinders.
func BenchmarkRecommend(b *testing.B) {
	path := filepath.Join(b.TempDir(), "many.db")
	s := storetest.Open(b, path)
	room, by := seedMany(b, s, path)
	orders := make([]TakeOrder, manyItems)
	for i := range orders {
		orders[i] = TakeOrder{Item: fmt.Sprintf("I%03d", i), Tests: []TestOrder{{"bump-q4", 14}}, Place: "CAGE"}
	}
	b.Run("query", func(b *testing.B) {
		db := openRaw(b, path)
		for i := 0; b.Loop(); i++ {
			if n := readRaw(b, db, int64(1000+i%manyItems)); n != ofAnItem {
				b.Fatalf("%d rows", n)
			}
		}
	})
	b.Run("recommend", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			a, err := room.Recommend(b.Context(), by, orders[i%manyItems])
			if err != nil || a.Pick == nil || a.Pick.Stage != Opened {
				b.Fatalf("%+v %v", a.Pick, err)
			}
		}
	})
	b.Run("checked", func(b *testing.B) { // with the whole gas and fittings check for instruments and a regulator set
		for i := 0; b.Loop(); i++ {
			order := TakeOrder{Item: orders[i%manyItems].Item, Place: "CAGE", Tests: []TestOrder{{"bump-q4", fleetOfMany}, {"cal-q4", 2}}}
			for n := range fleetOfMany {
				order.Instruments = append(order.Instruments, fmt.Sprintf("D-%03d", n))
			}
			a, err := room.Recommend(b.Context(), by, order)
			if err != nil || a.Pick == nil || a.Pick.Kit.Regulator == nil || a.Pick.Kit.Tubing == nil || a.Pick.Kit.Cap == nil {
				b.Fatalf("%+v %v", a.Pick, err)
			}
		}
	})
	b.Run("judge", func(b *testing.B) { // without the database
		m, err := room.moment(b.Context(), s)
		if err != nil {
			b.Fatal(err)
		}
		w, err := readNeed(b.Context(), s, m, by, orders[0])
		if err != nil {
			b.Fatal(err)
		}
		f, err := survey(b.Context(), s, m, w)
		if err != nil {
			b.Fatal(err)
		}
		list := make([]cylinder, len(f.candidates))
		for i, c := range f.candidates {
			list[i] = *c.cylinder
		}
		for b.Loop() {
			v := shelfOf()
			v.moment = m
			judge(v, w, list).recommend()
		}
	})
}

func openRaw(b *testing.B, path string) *sql.DB {
	b.Helper()
	driver := "sqlite"
	if slices.Contains(sql.Drivers(), "sqlite3") {
		driver = "sqlite3"
	}
	db, err := sql.Open(driver, path)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := db.Close(); err != nil {
			b.Error(err)
		}
	})
	return db
}

func readRaw(b *testing.B, db *sql.DB, item int64) (n int) {
	rows, err := db.Query(`SELECT id, tag, item_id, lot_id, receipt_id, certificate_id, serial, stage, place_id, holder_id, held_since, checkout_id,
		pressure_pa, temperature_mk, coldest_mk, gauge, pressure_source, measured_at, received_at, opened_on, version
		FROM cylinders WHERE item_id = ? AND stage IN ('received', 'sealed', 'opened') ORDER BY id`, item)
	if err != nil {
		b.Fatal(err)
	}
	defer rows.Close()
	var list []models.Cylinder
	for rows.Next() {
		var c models.Cylinder
		if err := rows.Scan(&c.ID, &c.Tag, &c.ItemID, &c.LotID, &c.ReceiptID, &c.CertificateID, &c.Serial, &c.Stage, &c.PlaceID, &c.HolderID, &c.HeldSince, &c.CheckoutID,
			&c.Pressure, &c.Temperature, &c.Coldest, &c.Gauge, &c.PressureSource, &c.MeasuredAt, &c.ReceivedAt, &c.OpenedOn, &c.Version); err != nil {
			b.Fatal(err)
		}
		list = append(list, c)
	}
	if rows.Err() != nil {
		b.Fatal(rows.Err())
	}
	return len(list)
}
