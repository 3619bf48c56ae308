package demo

// weakLot is four-gas that came with less H2S than the monitors are set to.
const weakLot = "FQ-2207"

// delivered lists what came in the year, the earliest first. The lots are sized so that of the four-gas on hand today four
// cylinders expire in three weeks; one lot has no certificate, one text names two lots, and chlorine comes ever shorter.
func delivered() []delivery {
	const credit = "accepted at a credit of 15 %, by telephone with the supplier"
	return []delivery{
		{
			day: -364, supplier: northbank, item: fourGas, lot: "6H-1180", place: cage, counted: 8,
			filled: -392, expires: -27, paper: "C-8120", values: []string{"2.51 %vol", "18.1 %vol", "101 ppm", "25.2 ppm"},
		},
		{
			day: -363, supplier: northbank, item: zeroAir, lot: "Z-0311", place: shelfA, counted: 3,
			filled: -440, expires: -75, paper: "C-8099",
		},
		{
			day: -362, supplier: ferrow, item: chlorine, lot: "3E5", place: cabinet, counted: 2,
			filled: -380, expires: -15, paper: "F-20611", values: []string{"9.9 ppm"},
		},
		{
			day: -362, supplier: ferrow, item: ammonia, lot: "FN-1190", place: cabinet, counted: 3,
			filled: -385, expires: -20, paper: "F-20612", values: []string{"50.4 ppm"},
		},
		{
			day: -273, supplier: northbank, item: fourGas, lot: "6L-0042", place: cage, counted: 6, noted: 8,
			filled: -301, expires: 3, paper: "C-8377", values: []string{"2.49 %vol", "17.9 %vol", "99 ppm", "24.8 ppm"},
		},
		{
			day: -266, supplier: ferrow, item: chlorine, lot: "3F1", place: cabinet, counted: 2,
			filled: -280, expires: 85, paper: "F-20874", values: []string{"10.1 ppm"},
		},
		{
			day: -215, supplier: northbank, item: fourGas, lot: "7B-0915", place: cage, counted: 6,
			filled: -240, expires: 9, paper: "C-8502", values: []string{"2.50 %vol", "18.0 %vol", "102 ppm", "24.6 ppm"},
		},
		{
			day: -192, supplier: northbank, item: chlorine, lot: "7C-4410", place: cabinet, counted: 4,
			filled: -205, expires: 160, paper: "C-8571", values: []string{"9.8 ppm"},
		},
		{
			day: -180, supplier: northbank, item: zeroAir, lot: "Z-0502", place: shelfA, counted: 2,
			filled: -230, expires: 500, paper: "C-8590",
		},
		{
			day: -171, supplier: ferrow, item: ammonia, lot: "7K-2206", place: cabinet, counted: 2,
			filled: -193, expires: 172, paper: "F-21055", values: []string{"49.6 ppm"},
		},
		{
			day: -160, supplier: northbank, item: fourGas, lot: "7K-2206", place: cage, counted: 12,
			filled: -344, expires: 21, paper: "C-8814", values: []string{"2.52 %vol", "18.1 %vol", "100 ppm", "24.6 ppm"},
		},
		{
			day: -110, supplier: ferrow, item: ammonia, lot: "FN-1377", place: cabinet, counted: 2,
			filled: -296, expires: 75, paper: "F-21240", values: []string{"50.9 ppm"},
		},
		{
			day: -98, supplier: northbank, item: chlorine, lot: "7F-4702", place: cabinet, counted: 1, noted: 2,
			filled: -120, expires: 49, paper: "C-8903", values: []string{"9.7 ppm"}, accepted: credit,
		},
		{
			day: -27, supplier: northbank, item: fourGas, lot: "8A-0077", place: cage, counted: 4,
			filled: -48, expires: 317, paper: "C-9120", values: []string{"2.50 %vol", "17.9 %vol", "101 ppm", "25.1 ppm"}, dented: true,
		},
		{
			day: -24, supplier: ferrow, item: fourGas, lot: weakLot, place: cage, counted: 2,
			filled: -41, expires: 324, paper: "F-21377", values: []string{"2.51 %vol", "18.0 %vol", "99 ppm", "23.2 ppm"},
		},
		{
			day: -18, supplier: ferrow, item: ammonia, lot: "FN-1402", place: cabinet, counted: 1,
			filled: -150, expires: 30, paper: "F-21391", values: []string{"49.8 ppm"}, read: "41.0 bar",
		},
		{
			day: -9, supplier: northbank, item: chlorine, lot: "8A-4811", place: cabinet, counted: 2,
			filled: -40, expires: 131, paper: "C-9166", values: []string{"10.0 ppm"},
		},
		{
			day: -6, supplier: ferrow, item: fourGas, lot: "FQ-2291", place: quar, counted: 6,
			filled: -20, expires: 345,
		},
	}
}
