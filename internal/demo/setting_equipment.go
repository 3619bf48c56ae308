package demo

import "spanroom/internal/catalogue"

// The regulators by what they are for; the weak one is for nothing that is stocked here.
const (
	forFourGas  = "R-01"
	onDemand    = "R-02"
	forChlorine = "R-04"
	forAmmonia  = "R-05"
	weak        = "R-06"
	forZeroAir  = "R-07"
)

func regulators() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Regulator{Code: forFourGas, Name: "four-gas, 0.3 L/min", Inlet: "CGA C-10", MaxPressure: "103 bar", Mode: catalogue.FixedFlow, Flow: "0.3 L/min", Body: "stainless", Place: bench},
		&catalogue.Regulator{Code: onDemand, Name: "four-gas, on demand", Inlet: "CGA C-10", MaxPressure: "103 bar", Mode: catalogue.DemandFlow, Body: "stainless", Place: bench},
		&catalogue.Regulator{Code: "R-03", Name: "four-gas, spare", Inlet: "CGA C-10", MaxPressure: "1000 psi", Mode: catalogue.FixedFlow, Flow: "0.3 L/min", Body: "stainless", Place: van1},
		&catalogue.Regulator{Code: forChlorine, Name: "chlorine only", Inlet: "CGA C-10", MaxPressure: "103 bar", MinimumInlet: "2 bar", Mode: catalogue.FixedFlow, Flow: "1.0 L/min", Body: "stainless", LastGas: "Cl2", Place: cabinet},
		&catalogue.Regulator{Code: forAmmonia, Name: "ammonia only", Inlet: "CGA C-10", MaxPressure: "103 bar", MinimumInlet: "2 bar", Mode: catalogue.FixedFlow, Flow: "1.0 L/min", Body: "stainless", LastGas: "NH3", Place: cabinet},
		&catalogue.Regulator{Code: weak, Name: "low pressure", Inlet: "CGA C-10", MaxPressure: "500 psi", Mode: catalogue.FixedFlow, Flow: "0.3 L/min", Body: "brass", Place: bench, Note: "Its rating does not cover a fill of 69 bar."},
		&catalogue.Regulator{Code: forZeroAir, Name: "zero air", Inlet: "CGA 600", MaxPressure: "69 bar", Mode: catalogue.FixedFlow, Flow: "0.5 L/min", Body: "nickel-plated", Place: bench},
	}
}

func tubings() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Tubing{Code: "T-01", Name: "four-gas", Material: "FEP", Length: "60 cm", Place: bench},
		&catalogue.Tubing{Code: "T-02", Name: "chlorine only", Material: "PTFE", Length: "50 cm", LastGas: "Cl2", Place: cabinet},
		&catalogue.Tubing{Code: "T-03", Name: "ammonia only", Material: "PTFE", Length: "50 cm", LastGas: "NH3", Place: cabinet},
		&catalogue.Tubing{Code: "T-04", Name: "general", Material: "PVC", Length: "80 cm", Place: bench},
	}
}
