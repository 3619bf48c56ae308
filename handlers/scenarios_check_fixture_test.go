package handlers

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"spanroom/internal/auth"
)

// fourGas are the channels of a model that is set to four-gas as it is ordered, with the basis of its combustible channel in %vol
// and the high alarm of H2S.
func fourGas(basis, highH2S string) string {
	return fmt.Sprintf(`"channels":[
		{"component":"CH4","set_value":"50 %%LEL","low_alarm":"10 %%LEL","high_alarm":"20 %%LEL","range":"100 %%LEL","lel":"%s %%vol","sensor":"catalytic","t90":"25 s"},
		{"component":"O2","span_by":"clean air","low_alarm":"19.5 %%vol","sensor":"electrochemical","t90":"15 s"},
		{"component":"CO","set_value":"100 ppm","low_alarm":"30 ppm","high_alarm":"60 ppm","sensor":"electrochemical","t90":"25 s"},
		{"component":"H2S","set_value":"25 ppm","low_alarm":"10 ppm","high_alarm":"%s ppm","sensor":"electrochemical","t90":"30 s"}],
		"cross_sensitivities":[{"channel":"CH4","gases":["CO","H2S"],"interferes":false},{"channel":"CO","gases":["CH4","H2S"],"interferes":false},
		{"channel":"H2S","gases":["CH4","CO"],"interferes":false},{"channel":"O2","gases":["CH4","CO","H2S"],"interferes":false}]`, basis, highH2S)
}

// oneGas is the channel of a model that measures one gas in ppm.
func oneGas(component, set, low, high string) string {
	return fmt.Sprintf(`"channels":[{"component":%q,"set_value":"%s ppm","low_alarm":"%s ppm","high_alarm":"%s ppm","sensor":"electrochemical"}]`, component, set, low, high)
}

// explosive is the combustible channel of a model that measures nothing else, with what it says of sensor and scale.
func explosive(more string) string {
	return `"channels":[{"component":"CH4","name":"EX","set_value":"50 %LEL","low_alarm":"10 %LEL","high_alarm":"20 %LEL","range":"100 %LEL"` + more + `}]`
}

func model(code, sampling, more string) fixture {
	return fixture{"/models", fmt.Sprintf(`{"code":%q,"sampling":%q,%s}`, code, sampling, more)}
}

func instrument(code, model, more string) fixture {
	return fixture{"/instruments", fmt.Sprintf(`{"code":%q,"model":%q%s}`, code, model, more)}
}

func regulator(code, more string) fixture {
	return fixture{"/regulators", regulatorOf(code, more)}
}

func regulatorOf(code, more string) string {
	return fmt.Sprintf(`{"code":%q,"max_pressure":"103 bar","place":"CAB-T",%s}`, code, more)
}

func tubing(code, material, more string) fixture {
	return fixture{"/tubings", fmt.Sprintf(`{"code":%q,"material":%q,"length":"60 cm","place":"CAB-T"%s}`, code, material, more)}
}

func procedure(code, purpose, blend, more string) fixture {
	return fixture{"/procedures", fmt.Sprintf(`{"code":%q,"purpose":%q,"blend":%q,%s}`, code, purpose, blend, more)}
}

type fixture = struct{ path, body string }

const (
	adjustable = `"set_values_adjustable":true`
	gently     = `"flow":"0.3 L/min","duration":"2 min"`
	strongly   = `"flow":"1.0 L/min","duration":"3 min"`
)

// monitored is what stands in the catalogue of Harrowmere beside its gases: its instruments with their channels, more gases,
// and regulators and tubing, good and bad.
var monitored = []fixture{
	{"/models/DIFF-4", `{"code":"DIFF-4","version":1,"sampling":"diffusion","flow":"0.3 L/min",` + adjustable + `,` + fourGas("5.0", "15") + `}`},
	model("DIFF-44", "diffusion", `"flow":"0.3 L/min",`+adjustable+`,`+fourGas("4.4", "15")),
	model("DIFF-30", "diffusion", `"flow":"0.3 L/min",`+fourGas("5.0", "30")),
	model("PUMP-4", "pumped", `"pump_flow":"0.3 L/min",`+fourGas("5.0", "15")),
	model("PUMP-45", "pumped", `"pump_flow":"0.45 L/min",`+fourGas("5.0", "15")),
	model("FAR-4", "diffusion", `"flow":"0.3 L/min","connected":true,`+fourGas("5.0", "15")),
	model("CAT-1", "diffusion", `"flow":"0.3 L/min",`+explosive(`,"lel":"5 %vol","sensor":"catalytic"`)),
	model("IR-1", "diffusion", `"flow":"0.3 L/min","zero_gas":"nitrogen",`+explosive(`,"lel":"5 %vol","sensor":"infrared"`)),
	model("PENT-1", "diffusion", `"flow":"0.3 L/min",`+explosive(`,"lel":"5 %vol","sensor":"catalytic","shown_gas":"nC5H12"`)),
	model("CHLOR-1", "diffusion", `"flow":"1.0 L/min",`+oneGas("Cl2", "10", "0.5", "1")),
	model("AMMO-1", "diffusion", `"flow":"1.0 L/min",`+oneGas("NH3", "50", "25", "35")),

	instrument("D-001", "DIFF-4", ""), instrument("D-002", "DIFF-4", ""), instrument("D-003", "DIFF-4", ""), instrument("D-004", "DIFF-4", ""),
	instrument("D-020", "DIFF-4", `,"set_values":[{"component":"H2S","set_value":"23.2 ppm"}]`),
	instrument("D-043", "DIFF-44", ""), instrument("D-044", "DIFF-44", ""),
	instrument("H-030", "DIFF-30", ""), instrument("W-001", "FAR-4", ""),
	instrument("P-001", "PUMP-4", ""), instrument("P-012", "PUMP-45", ""),
	instrument("K-001", "CAT-1", ""), instrument("I-001", "IR-1", ""), instrument("F-001", "PENT-1", ""),
	instrument("C-01", "CHLOR-1", ""), instrument("C-02", "CHLOR-1", ""), instrument("N-01", "AMMO-1", ""), {"/instruments", `{"code":"U-001"}`},
	{"/rounds", `{"code":"weekly","place":"VAN-1","instruments":["D-001","D-002","D-003","D-004"],"tests":[{"procedure":"bump-q4","times_per_week":1},{"procedure":"cal-q4","times_per_week":1}],"sessions_per_week":1}`},

	{"/blends", `{"code":"Q4-22","balance":"N2","components":[{"component":"CH4","amount":"2.2 %vol"},{"component":"O2","amount":"18 %vol"},{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`},
	{"/blends", `{"code":"Q4-O","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"19.5 %vol"},{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"25 ppm"}]}`},
	{"/blends", `{"code":"Q4-30","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"},{"component":"O2","amount":"18 %vol"},{"component":"CO","amount":"100 ppm"},{"component":"H2S","amount":"30 ppm"}]}`},
	{"/blends", `{"code":"EX","balance":"N2","components":[{"component":"CH4","amount":"2.5 %vol"}]}`},
	{"/blends", `{"code":"NI","balance":"N2"}`},
	gasItem("Q4-30", "1.0 L", "69 bar", "C-10"), procedure("bump-q4-30", "bump", "Q4-30", gently),
	gasItem("Q4-22", "1.0 L", "69 bar", "C-10"), gasItem("Q4-O", "1.0 L", "69 bar", "C-10"), gasItem("EX", "1.0 L", "69 bar", "C-10"), gasItem("NI", "1.0 L", "69 bar", "C-10"),
	procedure("cal-q4-22", "calibration", "Q4-22", gently), procedure("bump-q4-22", "bump", "Q4-22", gently), procedure("bump-q4-o", "bump", "Q4-O", gently), procedure("cal-q4-o", "calibration", "Q4-O", gently),
	procedure("bump-ex", "bump", "EX", gently), procedure("cal-ex", "calibration", "EX", gently), procedure("zero-ni", "zero", "NI", gently),
	procedure("bump-nh", "bump", "NH", strongly), procedure("cal-nh", "calibration", "NH", strongly), procedure("line-q4", "line", "Q4", gently),
	procedure("check-q4", "check", "Q4", gently), procedure("brief-q4", "bump", "Q4", `"flow":"0.3 L/min","duration":"20 s"`),

	regulator("R-02", `"inlet":"C-10","mode":"fixed","flow":"0.3 L/min","body":"nickel-plated"`),
	regulator("R-05", `"inlet":"C-10","mode":"fixed","flow":"1.0 L/min","body":"stainless","last_gas":"NH3"`),
	regulator("R-07", `"inlet":"CGA 600","mode":"fixed","flow":"0.5 L/min","body":"brass"`),
	regulator("R-08", `"inlet":"C-10","mode":"fixed","flow":"1.0 L/min","body":"brass"`),
	regulator("R-09", `"inlet":"C-10","mode":"demand","body":"stainless"`),
	regulator("R-10", `"inlet":"C-10","mode":"fixed","flow":"1.0 L/min","body":"stainless"`),
	regulator("R-12", `"inlet":"CGA 600","mode":"fixed","flow":"0.3 L/min","body":"stainless"`),
	regulator("R-11", `"inlet":"C-10","mode":"fixed","flow":"1.0 L/min","body":"stainless","vented":true`),
	regulator("R-13", `"inlet":"C-10","mode":"fixed","flow":"0.3 L/min"`),
	regulator("R-14", `"inlet":"C-10","mode":"fixed","flow":"0.3 L/min","body":"stainless","adapter":{"from":"CGA 600","to":"CGA C-10","max_pressure":"69 bar"}`),
	regulator("R-15", `"inlet":"C-10","mode":"fixed","flow":"0.3 L/min","body":"stainless","check_due_on":"2027-03-05","due_after_uses":2`),
	tubing("T-02", "PVC", ""), tubing("T-03", "FEP", `,"last_gas":"NH3"`), tubing("T-04", "FEP", `,"last_gas":"Cl2"`), tubing("T-05", "silicone", ""),
	{"/tubings", `{"code":"T-06","material":"FEP","length":"3 m","place":"CAB-T"}`},
	{"/caps", `{"code":"CAP-1","models":["CHLOR-1"],"place":"CAB-T"}`},
}

func gasItem(code, volume, fill, outlet string) fixture {
	return fixture{"/items", fmt.Sprintf(`{"code":%q,"kind":"gas","blend":%q,"water_volume":%q,"fill_pressure":%q,"outlet":%q,"cutoff":"2.0 bar","sources":[{"supplier":"ferrow","price":"80.00 EUR"}]}`, code, code, volume, fill, outlet)}
}

// withMonitors is the database of Harrowmere with all of that in it, made once.
var withMonitors struct {
	sync.Once
	file []byte
}

// newMonitored is Harrowmere with its instruments, at a moment of its own.
func newMonitored(t *testing.T, now string) *house {
	t.Helper()
	withMonitors.Do(func() {
		h := newHarrowmere(t, morning)
		for _, thing := range monitored {
			h.must(auth.Supervisor, "POST", thing.path, thing.body)
		}
		path := filepath.Join(t.TempDir(), "copy.db")
		if _, err := h.store.Backup(context.Background(), path); err != nil {
			t.Fatal(err)
		}
		var err error
		if withMonitors.file, err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	})
	if withMonitors.file == nil {
		t.Fatal("the instruments of Harrowmere could not be made")
	}
	return houseFrom(t, withMonitors.file, now)
}
