package stock

import (
	"errors"
	"net/url"
	"strings"
	"testing"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/store/storetest"
)

// What is printed under the bar codes: four-gas of Northbank, and chlorine that two suppliers sell.
const (
	gtinQ4      = "09521234543213"
	gtinCL      = "09521234543220"
	gtinUnknown = "09521234543237"
)

// scanned is a setting with codes of every sort, and two lots of the same text.
type scanned struct {
	*harrowmere
	q4 []string // of lot 7K-2206, with the serials 559123 and NB-1
	cl string   // of Ferrow's lot 7K-2206, with the serial NB-1 too
}

func settleScans(t *testing.T, s *store.Store) scanned {
	t.Helper()
	h := settle(t, s)
	h.make(
		&catalogue.Tubing{Code: "T-01", Material: "FEP", Length: "60 cm"}, &catalogue.Cap{Code: "CAP-4"}, &catalogue.Model{Code: "DIFF-4"},
		&catalogue.Instrument{Code: "D-001", Model: "DIFF-4"}, &catalogue.Instrument{Code: "559123"}, &catalogue.Instrument{Code: "VAN-1"},
		&catalogue.Round{Code: "stoke", Name: "Stoke Reach", Instruments: []string{"D-001"}, Tests: []catalogue.RoundTest{{Procedure: "bump-q4", TimesPerWeek: 3}}, SessionsPerWeek: 3},
		&catalogue.Regulator{Code: "cl", Inlet: "C-10", MaxPressure: "103 bar", Mode: "fixed", Flow: "0.3 L/min", Body: "stainless"},
	)
	h.change("item", "Q4", func(o catalogue.Order) {
		o.(*catalogue.Item).Sources = []catalogue.Source{{Supplier: "northbank", GTIN: gtinQ4}}
	})
	h.change("item", "CL", func(o catalogue.Order) {
		o.(*catalogue.Item).Sources = []catalogue.Source{{Supplier: "northbank", GTIN: gtinCL}, {Supplier: "ferrow", GTIN: gtinCL}}
	})
	first := q4("7K-2206", 2)
	first.Serials = []string{"559123", "NB-1"}
	chlorine := ReceiveOrder{Supplier: "ferrow", Item: "CL", Lot: "7K-2206", Counted: 1, FilledOn: "2027-01-10", LabelExpiresOn: "2027-12-01", Place: "CAB-T", Serials: []string{"NB-1"}}
	return scanned{h, h.receive(first), h.receive(chlorine)[0]}
}

func (s scanned) scan(name, text string) ScanAnswer {
	s.t.Helper()
	answer, err := s.Scan(s.ctx(), s.people[name], text)
	if err != nil {
		s.t.Fatalf("%q: %v", text, err)
	}
	return answer
}

// meets compares what a scan gives with kind and address, where {Q1} and {CL} stand for tags.
func (s scanned) meets(name, text, want string) {
	s.t.Helper()
	want = strings.NewReplacer("{Q1}", s.q4[0], "{CL}", s.cl).Replace(want)
	a := s.scan(name, text)
	if got := strings.TrimSpace(a.Kind + " " + a.URL); got != want {
		s.t.Errorf("%s scans %q: %s, want %s", name, text, got, want)
	}
}

func TestScanNamesWhatItFinds(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		s := settleScans(t, st)
		for text, want := range map[string]string{
			strings.ToLower(s.q4[0]):                "cylinder /cylinders/{Q1}",
			strings.ReplaceAll(s.q4[0], "-", ""):    "cylinder /cylinders/{Q1}",
			"]Q1" + s.q4[0]:                         "cylinder /cylinders/{Q1}",
			" 7k-2206 ":                             "lot /cylinders?stage=all&q=7K-2206",
			"]C07K-2206":                            "lot /cylinders?stage=all&q=7K-2206",
			"nb-1":                                  "serial /cylinders?stage=all&q=NB-1",
			"Q4":                                    "item /items/Q4",
			"q4":                                    "item /items/Q4",
			"D-001":                                 "instrument /instruments/D-001",
			"CAGE":                                  "place /cylinders?place=CAGE",
			"R-01":                                  "regulator /regulators/R-01",
			"T-01":                                  "tubing /tubings/T-01",
			"cap-4":                                 "cap /caps/CAP-4",
			"stoke":                                 "round /checkouts/new?round=stoke",
			"bump-q4":                               "procedure /procedures/bump-q4",
			"ferrow":                                "supplier /suppliers/ferrow",
			gtinQ4:                                  "item /items/Q4",
			"9521234543213":                         "item /items/Q4",
			"CL":                                    "item /items/CL",
			"cl":                                    "regulator /regulators/cl",
			"Cl":                                    "several", // neither is written so
			"559123":                                "several", // a serial and an instrument
			"VAN-1":                                 "several",
			"7K":                                    "text /cylinders?stage=all&q=7K",
			"a&b=c":                                 "text /cylinders?stage=all&q=a%26b%3Dc",
			"2222-222A":                             "text /cylinders?stage=all&q=2222-222A",
			"DIFF-4":                                "text /cylinders?stage=all&q=DIFF-4", // what is only written on papers is no scan
			gtinUnknown:                             "text /cylinders?stage=all&q=" + gtinUnknown,
			"17280200":                              "text /cylinders?stage=all&q=17280200", // a date alone says nothing outside a field for dates
			"https://example.org/cylinders/" + s.cl: "text " + searchFor("https://example.org/cylinders/"+s.cl),
			"é'%_":                                  "text /cylinders?stage=all&q=%C3%A9%27%25_",
			"":                                      "text /cylinders?stage=all&q=",
		} {
			s.meets("A", text, want)
		}
		s.meets("viewer", "stoke", "round /rounds/stoke")
	})
}

// A code of the standard leads to what of it is here: the cylinder, its lot, its item; a label of which nothing is here, to
// goods in for those who may receive.
func TestScanOfALabelLeadsToWhatIsHere(t *testing.T) {
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		s := settleScans(t, st)
		arrival := func(fields string) string { return "gs1 /receipts/new?" + fields }
		for text, want := range map[string]string{
			"(01)" + gtinQ4 + "(17)271001(10)7K-2206(21)559123":  "cylinder /cylinders/{Q1}",
			"01" + gtinQ4 + "1727100110" + "7k-2206\x1d21559123": "cylinder /cylinders/{Q1}",
			"]d201" + gtinQ4 + "21559123\x1d107K-2206":           "cylinder /cylinders/{Q1}",
			"https://example.org/01/" + gtinQ4 + "/21/559123":    "cylinder /cylinders/{Q1}",
			"(01)" + gtinCL + "(21)NB-1":                         "serial /cylinders?stage=all&q=NB-1", // of either supplier
			"(01)" + gtinQ4 + "(21)NB-1":                         "cylinder /cylinders/{Q2}",
			"(01)" + gtinQ4 + "(10)7K-2206":                      "lot /cylinders?stage=all&q=7K-2206",
			"(01)" + gtinUnknown + "(10)7K-2206":                 "lot /cylinders?stage=all&q=7K-2206", // S03: the list shows both
			"(01)" + gtinQ4 + "(10)7K-2206(21)NEW":               "lot /cylinders?stage=all&q=7K-2206",
			"(10)7K-2206":                                        "lot /cylinders?stage=all&q=7K-2206",
			"(01)" + gtinQ4:                                      "item /items/Q4",
			"]E09521234543213":                                   "item /items/Q4",
			"(01)" + gtinQ4 + "(10)9C-1044(17)280200(11)260110":  arrival("filled_on=2026-01-10&item=Q4&label_expires_on=2028-02-29&lot=9C-1044&supplier=northbank"),
			"(01)" + gtinCL + "(10)9C-1044(21)F-9":               arrival("item=CL&lot=9C-1044&serials=F-9"), // which supplier is for the clerk to say
			"(01)" + gtinUnknown + "(10)9C-1044":                 arrival("gtin=" + gtinUnknown + "&lot=9C-1044"),
			"(17)280200":                                         arrival("label_expires_on=2028-02-29"),
			"(01)" + gtinUnknown:                                 "gs1 /cylinders?stage=all&q=" + gtinUnknown,
		} {
			s.meets("clerk", text, strings.ReplaceAll(want, "{Q2}", s.q4[1]))
		}
		for text, want := range map[string]string{
			"(01)" + gtinQ4 + "(10)9C-1044(17)280200": "gs1 /cylinders?stage=all&q=9C-1044",
			"(01)" + gtinQ4 + "(21)F-9":               "gs1 /cylinders?stage=all&q=F-9",
			"(17)280200":                              "gs1",
		} {
			s.meets("A", text, want)
		}
	})
}

func TestScanOfALabelTellsWhatItSays(t *testing.T) {
	s := settleScans(t, storetest.New(t))
	a := s.scan("clerk", "(01)"+gtinQ4+"(10)9C-1044(17)280200(11)260110(21)F-9")
	l := a.GS1
	if l.Item != gtinQ4 || l.ItemCode != "Q4" || l.Supplier != "northbank" || l.Lot != "9C-1044" || l.Serial != "F-9" || l.ExpiresOn != "2028-02-29" || l.ProducedOn != "2026-01-10" {
		t.Errorf("%+v", l)
	}
	if len(l.Elements) != 5 || len(l.Findings) != 0 || l.Problem != "" || a.Words != "item Q4, lot 9C-1044, serial F-9, expiry 29 Feb 2028, produced 10 Jan 2026" {
		t.Errorf("%+v says %q", l, a.Words)
	}
	if l := s.scan("clerk", "(01)"+gtinCL+"(10)9C-1044").GS1; l.ItemCode != "CL" || l.Supplier != "" {
		t.Errorf("of two suppliers: %+v", l)
	}
	l = s.scan("clerk", "(01)"+gtinUnknown+"(10)9C-1044").GS1
	if l.ItemCode != "" || len(l.Findings) != 1 || l.Findings[0].Severity != problem.Note || l.Findings[0].Text != "no item has the GTIN "+gtinUnknown {
		t.Errorf("of no item: %+v", l)
	}
	s.change("item", "Q4", func(o catalogue.Order) {
		o.(*catalogue.Item).Sources = []catalogue.Source{{Supplier: "northbank", GTIN: gtinCL}}
	})
	l = s.scan("clerk", "(01)"+gtinCL+"(10)9C-1044").GS1
	if l.ItemCode != "" || len(l.Findings) != 1 || l.Findings[0].Text != "the GTIN "+gtinCL+" is that of CL, Q4" {
		t.Errorf("of two items: %+v", l)
	}
	if a := s.scan("clerk", "no label"); a.GS1 != nil || a.Choices == nil {
		t.Errorf("%+v", a)
	}
}

// S06: what cannot be leads nowhere, and nothing of it is read.
func TestScanOfAWrongLabelStops(t *testing.T) {
	s := settleScans(t, storetest.New(t))
	for text, want := range map[string]string{
		"(17)271345": "month 13",
		"(01)" + gtinQ4 + "(10)7K-2206(17)270431":  "day 31",
		"01" + gtinQ4 + "17271345107K-2206":        "month 13",
		"(01)09521234543214(10)7K-2206":            "check digit",
		"(01)" + gtinQ4 + "(10)7K 2206":            "character",
		"(01)" + gtinQ4 + "(10)7K-2206(10)9C-1044": "twice", // one of two labels is not chosen either
	} {
		a := s.scan("clerk", text)
		if a.Kind != ScanGS1 || a.URL != "" || a.Tag != "" || len(a.Choices) != 0 || a.GS1 == nil || len(a.GS1.Findings) == 0 {
			t.Errorf("%q: %+v", text, a)
			continue
		}
		worst := a.GS1.Findings[0]
		if worst.Severity == problem.Note || !strings.Contains(worst.Text, want) || worst.Advice == "" {
			t.Errorf("%q: %+v does not say %q", text, worst, want)
		}
	}
}

// A separator that may be missing is asked about, and each of the readings leads on.
func TestScanWithoutSeparatorsAsks(t *testing.T) {
	s := settleScans(t, storetest.New(t))
	a := s.scan("clerk", "01"+gtinQ4+"107K-220617271001")
	if a.Kind != ScanGS1 || a.URL != "" || len(a.Choices) != 2 || len(a.GS1.Split) != 3 || problem.Worst(a.GS1.Findings) != problem.Ask {
		t.Fatalf("%+v", a)
	}
	for i, want := range []struct{ words, kind, url string }{
		{"item Q4, lot 7K-220617271001", ScanGS1, "/receipts/new?item=Q4&lot=7K-220617271001&supplier=northbank"},
		{"item Q4, lot 7K-2206, expiry 1 Oct 2027", ScanLot, "/cylinders?stage=all&q=7K-2206"},
	} {
		choice := a.Choices[i]
		if choice.Words != want.words || choice.URL != "/scan?text="+url.QueryEscape(choice.Code) {
			t.Errorf("%+v, want %s", choice, want.words)
		}
		if on := s.scan("clerk", choice.Code); on.Kind != want.kind || on.URL != want.url || len(on.Choices) != 0 {
			t.Errorf("%s leads to %+v, want %s", choice.Words, on, want.url)
		}
	}
	if a := s.scan("clerk", "01"+gtinQ4+"10LOTOF2026A21CYL00000123"); len(a.Choices) != 1 || a.URL != "" {
		t.Errorf("too long for a lot: %+v", a)
	}
}

func TestEveryKindOfAScanIsListed(t *testing.T) {
	s := settleScans(t, storetest.New(t))
	kinds := map[string]bool{}
	for _, kind := range ScanKinds() {
		kinds[kind] = true
	}
	for _, text := range []string{s.q4[0], "7K-2206", "NB-1", "(17)280200", "559123", "nothing", "Q4", "D-001", "CAGE", "R-01", "T-01", "CAP-4", "stoke", "bump-q4", "ferrow"} {
		kind := s.scan("clerk", text).Kind
		if !kinds[kind] {
			t.Errorf("%q is of kind %q, which is not listed or came before", text, kind)
		}
		delete(kinds, kind)
	}
	if len(kinds) > 0 {
		t.Errorf("nothing is of kind %v", kinds)
	}
}

// S05, S06: a date element in a field for a date is that date, and no other.
func TestDatesThatAreScannedIntoAnOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(o *ReceiveOrder)
		want   string // what is wrong
	}{
		{"an expiry", func(o *ReceiveOrder) { o.LabelExpiresOn = "17271001" }, ""},
		{"an expiry in brackets", func(o *ReceiveOrder) { o.LabelExpiresOn = " (17)271001 " }, ""},
		{"of the certificate", func(o *ReceiveOrder) { o.Certificate.ExpiresOn = "17271001" }, ""},
		{"a production date", func(o *ReceiveOrder) { o.FilledOn = "11261001" }, ""},
		{"month 13", func(o *ReceiveOrder) { o.LabelExpiresOn = "(17)271345" }, "label_expires_on: month 13"},
		{"31 April", func(o *ReceiveOrder) { o.LabelExpiresOn = "17270431" }, "label_expires_on: day 31 of month 04"},
		{"the production date as expiry", func(o *ReceiveOrder) { o.LabelExpiresOn = "11271001" }, "label_expires_on: 11271001 begins with 11, and an expiry begins with 17"},
		{"the expiry as fill", func(o *ReceiveOrder) { o.FilledOn = "(17)261001" }, "filled_on: (17)261001 begins with 17, and a production date begins with 11"},
		{"a fill to come", func(o *ReceiveOrder) { o.FilledOn = "11280101" }, "filled_on: 1 Jan 2028 is still to come"},
		{"a lot with its label", func(o *ReceiveOrder) { o.Lot = "(01)" + gtinQ4 + "(10)7K-2206" }, `write "7K-2206" here`},
		{"a lot of another code", func(o *ReceiveOrder) { o.Lot = "(17)271001" }, "lot: "},
		{"a serial with its label", func(o *ReceiveOrder) { o.Serials = []string{"01" + gtinQ4 + "21F-9"} }, `write "F-9" here`},
		{"a row with its label", func(o *ReceiveOrder) { o.Cylinders = []ReceiveCylinder{{Serial: "]C121F-9"}} }, `cylinders.0.serial`},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := delivery8()
			c.change(&d.order)
			got, err := readDelivery(d.known.moment, d.names, d.order)
			switch {
			case c.want == "" && (err != nil || got.labelOn != "2027-10-01" || got.filledOn != "2026-10-01"):
				t.Errorf("%v: filled %s, expires %s", err, got.filledOn, got.labelOn)
			case c.want != "" && !strings.Contains(faults(err), c.want):
				t.Errorf("%s does not say %q", faults(err), c.want)
			}
		})
	}
}

// faults is what is wrong with each field, and what to do.
func faults(err error) string {
	var p *problem.Error
	var lines []string
	if errors.As(err, &p) {
		for _, f := range p.Fields {
			lines = append(lines, f.Name+": "+f.Text+"; "+f.Advice)
		}
	}
	return strings.Join(lines, "\n")
}
