package demo

import (
	"spanroom/internal/catalogue"
	"spanroom/internal/unit"
)

// The gases, and the items that are filled with them.
const (
	fourGas   = "Q4"
	chlorine  = "CL"
	ammonia   = "NH"
	zeroAir   = "ZA"
	filter    = "FILTER-H"
	tube      = "TUBE-FEP"
	calCap    = "CAP"
	halfAYear = 180 // days of life that are agreed at the least
)

// The price of a cylinder of four-gas, as the year began and since it was raised.
const (
	priceAtFirst = "74.50 EUR"
	priceNow     = "78.00 EUR"
)

// caps are the site's own limits on what does not keep; each replaces what a new store proposes.
func caps() []*catalogue.Component {
	return []*catalogue.Component{
		{Code: "Cl2", Name: "chlorine", CapMonths: new(int64(8)), FallbackMonths: new(int64(6)), OpenedDays: new(int64(75)), Note: "Site rule after the drift of two winters."},
		{Code: "NH3", Name: "ammonia", CapMonths: new(int64(10)), FallbackMonths: new(int64(6)), OpenedDays: new(int64(100))},
		{Code: "H2S", Name: "hydrogen sulfide", CapMonths: new(int64(24)), FallbackMonths: new(int64(6))},
	}
}

func blends() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Blend{Code: fourGas, Name: "four-gas", Balance: "N2", Components: []catalogue.BlendPart{
			part("CH4", "2.50 %vol"), part("O2", "18.0 %vol"), part("CO", "100 ppm"), part("H2S", "25 ppm"),
		}},
		&catalogue.Blend{Code: chlorine, Name: "chlorine 10 ppm", Balance: "N2", Components: []catalogue.BlendPart{part("Cl2", "10 ppm")}},
		&catalogue.Blend{Code: ammonia, Name: "ammonia 50 ppm", Balance: "N2", Components: []catalogue.BlendPart{part("NH3", "50 ppm")}},
		&catalogue.Blend{Code: zeroAir, Name: "zero air", Balance: "air"},
	}
}

func part(component string, amount unit.Typed) catalogue.BlendPart {
	return catalogue.BlendPart{Component: component, Amount: amount}
}

func items() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Item{
			Code: fourGas, Name: "four-gas, size M", Kind: catalogue.Gas, Blend: fourGas, WaterVolume: "1.0 L", FillPressure: "69 bar", Outlet: "CGA C-10", Cutoff: "2.0 bar",
			Sources: []catalogue.Source{
				{Supplier: northbank, Article: "00417", GTIN: "09521234170044", Pack: 1, MOQ: 6, Price: priceAtFirst, MinimumLifeDays: halfAYear},
				{Supplier: ferrow, Article: "FQ-4", Pack: 1, MOQ: 1, Price: "96.00 EUR", MinimumLifeDays: halfAYear},
			},
		},
		&catalogue.Item{
			Code: chlorine, Name: "chlorine 10 ppm, size L", Kind: catalogue.Gas, Blend: chlorine, WaterVolume: "1.7 L", FillPressure: "69 bar", Outlet: "CGA C-10", Cutoff: "3.5 bar",
			Sources: []catalogue.Source{
				{Supplier: northbank, Article: "00610", GTIN: "09521234170068", Pack: 1, MOQ: 6, Price: "210.00 EUR", MinimumLifeDays: halfAYear},
				{Supplier: ferrow, Article: "FC-10", Pack: 1, MOQ: 2, Price: "265.00 EUR", MinimumLifeDays: 150},
			},
		},
		&catalogue.Item{
			Code: ammonia, Name: "ammonia 50 ppm, size L", Kind: catalogue.Gas, Blend: ammonia, WaterVolume: "1.7 L", FillPressure: "69 bar", Outlet: "CGA C-10", Cutoff: "3.5 bar",
			Sources: []catalogue.Source{{Supplier: ferrow, Article: "FN-50", Pack: 1, MOQ: 2, Price: "185.00 EUR", MinimumLifeDays: halfAYear}},
		},
		&catalogue.Item{
			Code: zeroAir, Name: "zero air, size S", Kind: catalogue.Gas, Blend: zeroAir, WaterVolume: "1.0 L", FillPressure: "35 bar", Outlet: "CGA 600", Cutoff: "2.0 bar",
			Sources: []catalogue.Source{{Supplier: northbank, Article: "00009", Pack: 2, MOQ: 2, Price: "82.00 EUR", MinimumLifeDays: halfAYear}},
		},
		&catalogue.Item{
			Code: filter, Name: "hydrophobic filter", Kind: "filter",
			Sources: []catalogue.Source{{Supplier: northbank, Article: "0F-12", Pack: 10, MOQ: 10, Price: "31.50 EUR"}},
		},
		&catalogue.Item{
			Code: tube, Name: "FEP tubing 4.8 mm", Kind: "tubing", CountedIn: catalogue.InMetres,
			Sources: []catalogue.Source{{Supplier: northbank, Article: "3E5", Pack: 25, MOQ: 25, Price: "64.00 EUR"}},
		},
		&catalogue.Item{
			Code: calCap, Name: "calibration cap", Kind: "cap",
			Sources: []catalogue.Source{{Supplier: ferrow, Article: "C-9", Pack: 1, MOQ: 2, Price: "12.40 EUR"}},
		},
	}
}
