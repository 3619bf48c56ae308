package demo

import (
	"slices"

	"spanroom/internal/catalogue"
	"spanroom/internal/unit"
)

// The models of the fleet. The two newer ones read %LEL of methane on another basis, so that the same cylinder shows more on
// them; the last is kept to look at.
const (
	diff4    = "DIFF-4"
	diff4New = "DIFF-4-44"
	pump4    = "PUMP-4"
	pump45   = "PUMP-4-45"
	chlor1   = "CHLOR-1"
	ammon1   = "AMMON-1"
	pentane1 = "EX-1"
)

func detectors() []catalogue.Order {
	return []catalogue.Order{
		diffused(diff4, "four-gas, diffusion", "5.0 %vol", "manual, revision 6"),
		diffused(diff4New, "four-gas, diffusion, newer", "4.4 %vol", "manual, revision 9"),
		drawn(pump4, "four-gas, pumped 0.3 L/min", "0.3 L/min"),
		drawn(pump45, "four-gas, pumped 0.45 L/min", "0.45 L/min"),
		single(chlor1, "chlorine", catalogue.Channel{Component: "Cl2", SetValue: "10 ppm", LowAlarm: "0.5 ppm", HighAlarm: "1 ppm", Range: "20 ppm", T90: "45 s", Sensor: "electrochemical"}),
		single(ammon1, "ammonia", catalogue.Channel{Component: "NH3", SetValue: "50 ppm", LowAlarm: "25 ppm", HighAlarm: "35 ppm", Range: "100 ppm", T90: "50 s", Sensor: "electrochemical"}),
		scaledInPentane(),
	}
}

// diffused is a four-gas model without a pump.
func diffused(code, name string, lel unit.Typed, manual string) *catalogue.Model {
	m := fourGasModel(code, name, lel, manual)
	m.Sampling, m.FlowMin, m.FlowMax = "diffusion", "0.25 L/min", "0.35 L/min"
	return m
}

// drawn is a four-gas model with a pump.
func drawn(code, name string, rate unit.Typed) *catalogue.Model {
	m := fourGasModel(code, name, "5.0 %vol", "manual, revision 4")
	m.Sampling, m.PumpFlow, m.Vent = "pumped", rate, "exhaust free, no hose longer than 30 cm"
	return m
}

// fourGasModel has what the four-gas models have in common. Their CO channel has a filter against H2S, so nothing in the gas
// adds to another channel.
func fourGasModel(code, name string, lel unit.Typed, manual string) *catalogue.Model {
	return &catalogue.Model{
		Code: code, Name: name, Manual: manual, Note: "Combustible channel: 100 %LEL is " + string(lel) + " methane.", ZeroGas: "air", SetValuesAdjustable: true,
		Channels: []catalogue.Channel{
			{
				Component: "CH4", Name: "EX", SetValue: "50 %LEL", LowAlarm: "10 %LEL", HighAlarm: "20 %LEL", Range: "100 %LEL", T90: "15 s",
				Sensor: "catalytic", LEL: lel, LELBasis: "instrument maker's own",
			},
			{Component: "O2", SetValue: "20.9 %vol", LowAlarm: "19.5 %vol", HighAlarm: "23.5 %vol", Range: "30 %vol", SpanBy: catalogue.ByCleanAir, Accuracy: "0.5 %vol", T90: "15 s", Sensor: "electrochemical"},
			{Component: "CO", SetValue: "100 ppm", LowAlarm: "30 ppm", HighAlarm: "60 ppm", Range: "500 ppm", T90: "20 s", Sensor: "electrochemical"},
			{Component: "H2S", SetValue: "25 ppm", LowAlarm: "10 ppm", HighAlarm: "15 ppm", Range: "100 ppm", T90: "25 s", Sensor: "electrochemical"},
		},
		CrossSensitivities: []catalogue.CrossSensitivity{
			{Channel: "CH4", Gases: []string{"CO", "H2S"}},
			{Channel: "O2", Gases: []string{"CH4", "CO", "H2S"}},
			{Channel: "CO", Gases: []string{"CH4", "H2S"}},
			{Channel: "CO", Gases: []string{"H2"}, Interferes: true},
			{Channel: "H2S", Gases: []string{"CH4", "CO"}},
		},
	}
}

// single is a model for one toxic gas, which takes much of it.
func single(code, name string, channel catalogue.Channel) *catalogue.Model {
	return &catalogue.Model{
		Code: code, Name: name, Manual: "manual, revision 2", Sampling: "diffusion", Flow: "1.0 L/min", ZeroGas: "air", SetValuesAdjustable: true,
		Channels: []catalogue.Channel{channel},
	}
}

// scaledInPentane is a model whose display is scaled in another gas than it is spanned with.
func scaledInPentane() *catalogue.Model {
	return &catalogue.Model{
		Code: pentane1, Name: "combustible only, retired", Manual: "manual, revision 3", Sampling: "diffusion", Flow: "0.5 L/min", ZeroGas: "air",
		Channels: []catalogue.Channel{{
			Component: "CH4", Name: "EX", SetValue: "91 %LEL", LowAlarm: "10 %LEL", HighAlarm: "20 %LEL", Range: "100 %LEL", T90: "20 s", Sensor: "catalytic",
			LEL: "5.0 %vol", LELBasis: "instrument maker's own", ShownGas: "nC5H12", Factor: new(0.55), FactorReading: "relative_response",
		}},
		Reasons: map[string]string{"R19": "manual, revision 3, page 41: held against its table by the supervisor"},
		Note:    "Scaled in pentane: methane shows more on it than it is.",
	}
}

// The serials of the fleet.
var (
	diffusion     = serials("D-%03d", 1, 42)
	newer         = serials("D-%03d", 43, 44)
	pumped        = serials("P-%03d", 1, 12)
	chlorineFleet = serials("C-%02d", 1, 6)
	ammoniaFleet  = serials("N-%02d", 1, 4)
	wornThere     = slices.Concat(diffusion, newer, pumped)
)
