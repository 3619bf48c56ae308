package demo

import "spanroom/internal/catalogue"

const (
	cage       = "CAGE"
	shelfA     = "SHELF-A"
	cabinet    = "CAB-T"
	bench      = "BENCH"
	quar       = "QUAR"
	spentPlace = "SPENT"
	van1       = "VAN-1"
	van2       = "VAN-2"
)

func places() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Place{Code: cage, Name: "Outdoor cage", Kind: "cage", MaxCylinders: new(int64(60)), Note: "No signal out there."},
		&catalogue.Place{Code: shelfA, Name: "Shelf A", Kind: "shelf", MaxCylinders: new(int64(40))},
		&catalogue.Place{
			Code: cabinet, Name: "Ventilated cabinet", Kind: "cabinet", MaxCylinders: new(int64(10)),
			StorageGroups: []string{"toxic component, ventilated"}, LimitSource: "site rule 7 of Harrowmere Water",
		},
		&catalogue.Place{Code: bench, Name: "Test bench", Kind: "bench"},
		&catalogue.Place{Code: quar, Name: "Quarantine", Kind: "quarantine"},
		&catalogue.Place{Code: spentPlace, Name: "Spent, awaiting emptying", Kind: "cage"},
		&catalogue.Place{Code: van1, Name: "Van 1", Kind: "van", MaxCylinders: new(int64(6))},
		&catalogue.Place{Code: van2, Name: "Van 2", Kind: "van", MaxCylinders: new(int64(6))},
		&catalogue.Place{Code: "STOKE", Name: "Stoke Reach, wastewater", Kind: "site"},
		&catalogue.Place{Code: "ASHBECK", Name: "Ashbeck, chlorine dosing", Kind: "site"},
		&catalogue.Place{Code: "COLDHOLM", Name: "Coldholm, ammonia chiller", Kind: "site"},
	}
}

func suppliers() []catalogue.Order {
	return []catalogue.Order{
		&catalogue.Supplier{Code: northbank, Name: "Northbank Gases", LeadTimeDays: 42, LeadTimeSDDays: 8, ClaimDays: new(int64(14))},
		&catalogue.Supplier{Code: ferrow, Name: "Ferrow Specialty", LeadTimeDays: 28, LeadTimeSDDays: 5, ClaimDays: new(int64(10))},
	}
}

const (
	northbank = "northbank"
	ferrow    = "ferrow"
)
