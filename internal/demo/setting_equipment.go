package demo

import (
	"spanroom/internal/catalogue"
	"spanroom/internal/unit"
)

// weak is a regulator that the year names; otherwise what suits is chosen by what is known of it.
const weak = "R-06"

// regulators lists them with what is against some: one is weak, one of brass and due for its check, one gives too much.
func (h *house) regulators() []catalogue.Order {
	doubtful := fixedFlow("R-09", "general", bench, "0.3 L/min")
	doubtful.Body, doubtful.CheckDueOn, doubtful.Note = "brass", h.clock.day(-4), "Came with a cylinder of methane in air."
	poor := fixedFlow(weak, "low pressure", bench, "0.3 L/min")
	poor.MaxPressure, poor.Note = "500 psi", "Its rating does not cover a fill of 69 bar."
	old := fixedFlow("R-11", "four-gas, spare", bench, "0.3 L/min")
	old.MaxPressure, old.Note = "1000 psi", "Enough for a fill of 69 bar, but not in the heat of a van."
	demand := fixedFlow("R-02", "four-gas, on demand", bench, "")
	demand.Mode, demand.DueAfterUses = catalogue.DemandFlow, new(int64(250))
	vented := fixedFlow("R-07", "zero air, open tee", bench, "0.5 L/min")
	vented.Inlet, vented.MaxPressure, vented.Body, vented.Vented = "CGA 600", "69 bar", "nickel-plated", true
	strong := fixedFlow("R-08", "four-gas, strong", bench, "1.0 L/min")
	strong.Note = "No tee: for none of the monitors here."
	return []catalogue.Order{
		fixedFlow("R-01", "four-gas", bench, "0.3 L/min"), demand, fixedFlow("R-03", "four-gas, in the van", van1, "0.3 L/min"), dedicated("R-04", "chlorine only", "Cl2"), dedicated("R-05", "ammonia only", "NH3"),
		poor, vented, strong, doubtful, dedicated("R-10", "ammonia only, second", "NH3"), old,
	}
}

func fixedFlow(code, name, place string, flow unit.Typed) *catalogue.Regulator {
	return &catalogue.Regulator{Code: code, Name: name, Inlet: "CGA C-10", MaxPressure: "103 bar", Mode: catalogue.FixedFlow, Flow: flow, Body: "stainless", Place: place}
}

// dedicated is a regulator through which one gas goes and no other.
func dedicated(code, name, gas string) *catalogue.Regulator {
	r := fixedFlow(code, name, cabinet, "1.0 L/min")
	r.MinimumInlet, r.LastGas = "2 bar", gas
	return r
}

func tubings() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Tubing{Code: "T-01", Name: "four-gas", Material: "FEP", Length: "60 cm", Place: bench},
		&catalogue.Tubing{Code: "T-02", Name: "chlorine only", Material: "PTFE", Length: "50 cm", LastGas: "Cl2", Place: cabinet},
		&catalogue.Tubing{Code: "T-03", Name: "ammonia only", Material: "PTFE", Length: "50 cm", LastGas: "NH3", Place: cabinet},
		&catalogue.Tubing{Code: "T-04", Name: "general", Material: "PVC", Length: "80 cm", Place: bench},
		&catalogue.Tubing{Code: "T-05", Name: "four-gas, in the van", Material: "FEP", Length: "60 cm", Place: van1},
		&catalogue.Tubing{Code: "T-06", Name: "zero air", Material: "FEP", Length: "80 cm", Place: shelfA},
		&catalogue.Tubing{Code: "T-07", Name: "ammonia only, second", Material: "PTFE", Length: "50 cm", LastGas: "NH3", Place: cabinet},
		&catalogue.Tubing{Code: "T-08", Name: "four-gas, for pumps", Material: "FEP", Length: "60 cm", Place: bench},
	}
}

// fittingCaps are the calibration caps by the models that they are made for.
func (h *house) fittingCaps() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Cap{Code: "CAP-D", Name: "four-gas", Models: []string{diff4, diff4New}, Place: bench},
		&catalogue.Cap{Code: "CAP-D2", Name: "four-gas, in the van", Models: []string{diff4, diff4New}, CheckDueOn: h.clock.day(60), Place: van1},
		&catalogue.Cap{Code: "CAP-C", Name: "chlorine", Models: []string{chlor1}, Place: cabinet},
		&catalogue.Cap{Code: "CAP-N", Name: "ammonia", Models: []string{ammon1}, Place: cabinet},
		&catalogue.Cap{Code: "CAP-N2", Name: "ammonia, second", Models: []string{ammon1}, Place: cabinet},
	}
}
