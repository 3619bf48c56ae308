package handlers

import (
	"context"
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
	"spanroom/internal/unit"
	"spanroom/models"
)

// harrowmere is the invented utility of the scenarios: what its catalogue holds while its shelves are empty.
var harrowmere = []struct{ path, body string }{
	{"/settings", `{"site_name":"Harrowmere Water","zone":"Europe/Amsterdam","retry_pct":0,"default_gauge":"digital","emergency_numbers":"control room 0000"}`},
	{"/components/Cl2", `{"code":"Cl2","name":"chlorine","cap_months":8,"fallback_months":6,"opened_days":75}`},
	{"/components/NH3", `{"code":"NH3","name":"ammonia","cap_months":10,"fallback_months":6,"opened_days":100}`},
	{"/components/H2S", `{"code":"H2S","name":"hydrogen sulfide","cap_months":24}`},
	{"/suppliers", `{"code":"northbank","name":"Northbank Gases","lead_time_days":42,"lead_time_sd_days":8}`},
	{"/suppliers", `{"code":"ferrow","name":"Ferrow Specialty","lead_time_days":42,"lead_time_sd_days":8}`},
	{"/places", `{"code":"CAGE","name":"Outdoor cage","kind":"cage"}`},
	{"/places", `{"code":"SHELF-A","kind":"shelf"}`},
	{"/places", `{"code":"CAB-T","name":"Ventilated cabinet","kind":"cabinet","max_cylinders":10}`},
	{"/places", `{"code":"BENCH","kind":"bench"}`},
	{"/places", `{"code":"QUAR","kind":"quarantine"}`},
	{"/places", `{"code":"VAN-1","kind":"van"}`},
	{"/blends", `{"code":"Q4","name":"four-gas","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`},
	{"/blends", `{"code":"CL","balance":"N2","components":[{"component":"Cl2","amount":"10 ppm"}]}`},
	{"/blends", `{"code":"NH","balance":"N2","components":[{"component":"NH3","amount":"50 ppm"}]}`},
	{"/blends", `{"code":"ZA","name":"zero air","balance":"air"}`},
	{"/items", `{"code":"Q4","name":"four-gas","kind":"gas","blend":"Q4","water_volume":"1.0 L","fill_pressure":"69 bar","outlet":"CGA C-10","cutoff":"2.0 bar","sources":[{"supplier":"northbank","article":"00417","gtin":"09521234543213","pack":1,"moq":6,"price":"78.00 EUR","minimum_life_days":180}]}`},
	{"/items", `{"code":"CL","kind":"gas","blend":"CL","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"CGA C-10","cutoff":"3.5 bar","sources":[{"supplier":"northbank","article":"3E5","pack":1,"moq":6,"price":"210.00 EUR","minimum_life_days":182}]}`},
	{"/items", `{"code":"NH","kind":"gas","blend":"NH","water_volume":"1.7 L","fill_pressure":"69 bar","outlet":"CGA C-10","cutoff":"3.5 bar","sources":[{"supplier":"ferrow","article":"FN-50","gtin":"09521234543220","price":"185.00 EUR"}]}`},
	{"/items", `{"code":"ZA","kind":"gas","blend":"ZA","water_volume":"1.0 L","fill_pressure":"35 bar","outlet":"CGA 600","cutoff":"2.0 bar","sources":[{"supplier":"northbank","article":"00009","price":"41.00 EUR"}]}`},
	{"/items", `{"code":"Q4-R","kind":"gas","blend":"Q4","water_volume":"10 L","fill_pressure":"150 bar","outlet":"CGA 590","refillable":true,"sources":[{"supplier":"northbank","price":"390.00 EUR"}]}`},
	{"/items", `{"code":"FILTER-H","name":"hydrophobic filter","kind":"filter","sources":[{"supplier":"northbank","article":"0F-12","pack":10,"moq":10,"price":"31.50 EUR"}]}`},
	{"/items", `{"code":"TUBE","kind":"tubing","counted_in":"m"}`},
	{"/regulators", `{"code":"R-01","inlet":"C-10","max_pressure":"1000 psi","mode":"fixed","flow":"0.3 L/min","body":"stainless","place":"BENCH"}`},
	{"/regulators", `{"code":"R-04","inlet":"C-10","max_pressure":"103 bar","mode":"fixed","flow":"1.0 L/min","body":"stainless","last_gas":"Cl2","place":"CAB-T"}`},
	{"/regulators", `{"code":"R-06","inlet":"C-10","max_pressure":"500 psi","mode":"fixed","flow":"0.3 L/min","body":"brass","place":"BENCH"}`},
	{"/tubings", `{"code":"T-01","material":"FEP","length":"60 cm","place":"BENCH"}`},
	{"/procedures", `{"code":"bump-q4","name":"bump test, four gas","purpose":"bump","blend":"Q4","flow":"0.3 L/min","duration":"30 s","purge":"0.3 L"}`},
	{"/procedures", `{"code":"cal-q4","name":"calibration, four gas","purpose":"calibration","blend":"Q4","flow":"0.3 L/min","duration":"2 min","purge":"0.3 L"}`},
	{"/procedures", `{"code":"bump-cl","purpose":"bump","blend":"CL","flow":"1.0 L/min","duration":"1 min","conditioning":"5 min"}`},
	{"/procedures", `{"code":"cal-cl","purpose":"calibration","blend":"CL","flow":"1.0 L/min","duration":"3 min","conditioning":"5 min"}`},
	{"/procedures", `{"code":"zero-za","purpose":"zero","blend":"ZA","flow":"0.5 L/min","duration":"1 min"}`},
	{"/models", `{"code":"DIFF-4","name":"four-gas, diffusion"}`},
	{"/rounds", `{"code":"stoke","place":"VAN-1","instruments":[` + serialsOf("D-%03d", 44) + `,` + serialsOf("P-%03d", 12) + `],"tests":[{"procedure":"bump-q4","times_per_week":3},{"procedure":"cal-q4","times_per_week":0.229979}],"sessions_per_week":10}`},
	{"/rounds", `{"code":"ashbeck","instruments":[` + serialsOf("C-%02d", 6) + `],"tests":[{"procedure":"bump-cl","times_per_week":1},{"procedure":"cal-cl","times_per_week":0.229979}],"sessions_per_week":1}`},
}

func serialsOf(form string, n int) string {
	all := make([]string, n)
	for i := range all {
		all[i] = fmt.Sprintf(`"`+form+`"`, i+1)
	}
	return strings.Join(all, ",")
}

// morning is when the scenarios begin: Wednesday 3 March 2027, 07:12 in Amsterdam.
const morning = "2027-03-03T06:12:00Z"

// built is the database of Harrowmere with everybody signed in, made once: each test gets a copy of the file.
var built struct {
	sync.Once
	file             []byte
	tokens, sessions map[auth.Role]string
}

// newHarrowmere is the utility at a moment of its own.
func newHarrowmere(t *testing.T, now string) *house {
	t.Helper()
	built.Do(func() { buildHarrowmere(t) })
	if built.file == nil {
		t.Fatal("Harrowmere could not be built")
	}
	return houseFrom(t, built.file, now)
}

// houseFrom opens a copy of the database of Harrowmere.
func houseFrom(t *testing.T, file []byte, now string) *house {
	t.Helper()
	path := storetest.SQLiteFile(t)
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	h := bareHouse(t, storetest.Open(t, path), now)
	h.file = path
	maps.Copy(h.tokens, built.tokens)
	if now == morning {
		maps.Copy(h.sessions, built.sessions)
	}
	return h
}

func buildHarrowmere(t *testing.T) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "harrowmere.db")
	s, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	h := houseOn(t, s, morning)
	h.settle()
	for _, role := range auth.Roles() {
		h.session(role)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	built.tokens, built.sessions = h.tokens, h.sessions
	if built.file, err = os.ReadFile(path); err != nil {
		t.Fatal(err)
	}
}

// settle fills the catalogue of Harrowmere.
func (h *house) settle() {
	h.t.Helper()
	for _, thing := range harrowmere {
		h.must(auth.Supervisor, "POST", thing.path, thing.body)
	}
}

// lot is a delivery as a scenario gives it: its label, its certificate, and what else is said in JSON.
type lot struct {
	from, item, lot, place string
	n                      int
	filled, expires        string
	more                   string // further fields, with a comma before
}

var certified = map[string]string{
	"Q4": `{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},{"component":"CO","amount":"100 ppm","uncertainty":"2 ppm"},{"component":"H2S","amount":"25 ppm","uncertainty":"0.5 ppm"}`,
	"CL": `{"component":"Cl2","amount":"10 ppm","uncertainty":"5 %rel"}`,
	"NH": `{"component":"NH3","amount":"50 ppm"}`,
	"ZA": `{"component":"N2","amount":"79.05 %vol"},{"component":"O2","amount":"20.95 %vol"}`,
}

// json is the order that books it. Northbank promises half a year of life, Ferrow nothing, so what is short comes from Ferrow.
func (l lot) json() string {
	label, certificate := "", fmt.Sprintf(`,"certificate":{"number":"C-%s","values":[%s]}`, l.lot, certified[strings.TrimSuffix(l.item, "-R")])
	if l.expires != "" {
		label = fmt.Sprintf(`,"label_expires_on":%q`, l.expires)
		certificate = strings.Replace(certificate, `"values"`, fmt.Sprintf(`"expires_on":%q,"values"`, l.expires), 1)
	}
	if strings.Contains(l.more, `"certificate"`) {
		certificate = ""
	}
	place := l.place
	if place == "" {
		place = "CAGE"
	}
	return fmt.Sprintf(`{"supplier":%q,"item":%q,"lot":%q,"counted":%d,"place":%q,"filled_on":%q%s%s%s}`, l.from, l.item, l.lot, l.n, place, l.filled, label, certificate, l.more)
}

// gone takes the cylinder with a serial out of the house, as its return to the supplier will.
func (h *house) gone(serial string) {
	h.t.Helper()
	ctx := context.Background()
	err := h.store.Tx(ctx, func(tx *store.Store) error {
		rows, err := tx.Cylinders(ctx, store.CylinderFilter{Text: serial})
		if err != nil || len(rows) != 1 {
			return fmt.Errorf("%d cylinders with serial %s: %w", len(rows), serial, err)
		}
		after := rows[0]
		after.Stage, after.PlaceID = "gone", nil
		at := unit.InstantOf(h.now)
		_, err = tx.PutCylinder(ctx, store.Change{Before: rows[0], After: after, From: "CAGE"}, models.Entry{RecordedAt: at, HappenedAt: at, ByName: "clerk", Kind: "dispose"})
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
}

// atOnce does the same n times at one moment.
func atOnce(n int, do func(i int) reply) []reply {
	replies := make([]reply, n)
	var all sync.WaitGroup
	for i := range replies {
		all.Go(func() { replies[i] = do(i) })
	}
	all.Wait()
	return replies
}

func cloned(form url.Values) url.Values {
	copied := url.Values{}
	for name, values := range form {
		copied[name] = values
	}
	return copied
}
