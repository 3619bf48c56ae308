package catalogue_test

import (
	"reflect"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
)

func TestASetAsTheCheckTakesIt(t *testing.T) {
	fifty := int64(50)
	regulator := catalogue.Regulator{
		Code: "R-08", Inlet: "c10", InletListed: "CGA C-10", MaxPressure: "1000 psi", MaxPressureBar: 68.95, RatingAbsolute: true, Mode: catalogue.FixedFlow, Flow: "500 mL/min",
		Vented: true, Body: "stainless", LastGas: "Cl2", Adapter: &catalogue.Adapter{From: "CGA 600", To: "CGA C-10", MaxPressure: "6900 kPa"}, CheckDueOn: "2027-05-01", DueAfterUses: &fifty,
	}
	upkeep := fit.Upkeep{DueOn: "2027-05-01", DueAfterUses: 50}
	if got, want := regulator.Fit(), (fit.Regulator{
		Code: "R-08", Inlet: "CGA C-10", MaxBar: 68.95, Absolute: true, Flow: 500, Vented: true, Body: "stainless", Adapter: &fit.Adapter{From: "CGA 600", To: "CGA C-10", MaxBar: 69}, Upkeep: upkeep,
	}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := (catalogue.Regulator{Mode: catalogue.DemandFlow}).Fit(); !got.Demand || got.Adapter != nil || got.Flow != 0 {
		t.Errorf("on demand: %+v", got)
	}
	if got, want := (catalogue.Tubing{Code: "T-01", Material: "FEP", Length: "2 ft", OutOfService: true}).Fit(), (fit.Tubing{Code: "T-01", Material: "FEP", Length: 610, Upkeep: fit.Upkeep{OutOfService: true}}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got, want := (catalogue.Cap{Code: "C-01", Models: []string{"DIFF-4"}, CheckDueOn: "2027-05-01", DueAfterUses: &fifty}).Fit(), (fit.Cap{Code: "C-01", Models: []string{"DIFF-4"}, Upkeep: upkeep}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}
