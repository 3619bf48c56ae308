package stock

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/gs1"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// ScanLabel is what a GS1 code says. ItemCode and Supplier are ours, where its GTIN names one alone. With a problem that
// stops there are no elements; with a split there are two readings, and somebody has to say which is right.
type ScanLabel struct {
	Elements   []gs1.Element     `json:"elements"`
	Item       string            `json:"item"` // GTIN of 14 digits
	ItemCode   string            `json:"item_code"`
	Supplier   string            `json:"supplier"`
	Lot        string            `json:"lot"`
	Serial     string            `json:"serial"`
	ExpiresOn  unit.Date         `json:"expires_on"`
	ProducedOn unit.Date         `json:"produced_on"`
	Split      []gs1.Element     `json:"split"`
	Problem    gs1.Problem       `json:"problem"`
	Words      string            `json:"words"`
	Findings   []problem.Finding `json:"findings"`

	suppliers []int64 // of the GTIN; none where it is not known
}

// label finds what a code of the standard leads to: the cylinder, its lot, its item, or goods in.
func (s scanning) label(ctx context.Context, a ScanAnswer, code gs1.Scan) (ScanAnswer, error) {
	l, err := s.read(ctx, code)
	if err != nil {
		return a, err
	}
	a.GS1 = l
	a.Meaning = Meaning{Kind: ScanGS1, Code: gs1.Bracketed(code.Elements), Words: l.Words}
	if worst := problem.Worst(l.Findings); worst == problem.Stop || worst == problem.Ask {
		a.Choices, err = s.readings(ctx, code)
		return a, err
	}
	known, err := s.known(ctx, l)
	if err != nil || known.Kind != "" {
		a.Meaning = known
		return a, err
	}
	a.URL = s.arrival(l)
	return a, nil
}

// read gives what a code says with what the catalogue knows of its GTIN.
func (s scanning) read(ctx context.Context, code gs1.Scan) (*ScanLabel, error) {
	l := &ScanLabel{
		Elements: append([]gs1.Element{}, code.Elements...), Item: code.Item, Lot: code.Lot, Serial: code.Serial, ExpiresOn: code.ExpiresOn, ProducedOn: code.ProducedOn,
		Split: append([]gs1.Element{}, code.Split...), Problem: code.Problem, Findings: append([]problem.Finding{}, code.Findings...),
	}
	err := s.article(ctx, l)
	l.Words = l.words()
	return l, err
}

// readings offers both ways to read a code in which a separator may be missing, each written so that it cannot be misread.
func (s scanning) readings(ctx context.Context, code gs1.Scan) ([]Meaning, error) {
	ways := []Meaning{}
	for _, elements := range [][]gs1.Element{code.Elements, code.Split} {
		if code.Split == nil || elements == nil {
			continue
		}
		text := gs1.Bracketed(elements)
		way, _ := gs1.Read(text, s.year())
		l, err := s.read(ctx, way)
		if err != nil {
			return ways, err
		}
		ways = append(ways, Meaning{Kind: ScanGS1, Code: text, Words: l.Words, URL: "/scan?text=" + url.QueryEscape(text)})
	}
	return ways, nil
}

// article finds our item and the supplier behind a GTIN.
func (s scanning) article(ctx context.Context, l *ScanLabel) error {
	if l.Item == "" {
		return nil
	}
	articles, err := s.store.ArticlesOfGTIN(ctx, l.Item)
	var items, suppliers []string
	for _, a := range articles {
		l.suppliers = append(l.suppliers, a.SupplierID)
		items, suppliers = append(items, a.Item), append(suppliers, a.Supplier)
	}
	if items = slices.Compact(items); len(items) == 1 {
		l.ItemCode = items[0]
	}
	slices.Sort(suppliers)
	if suppliers = slices.Compact(suppliers); len(suppliers) == 1 {
		l.Supplier = suppliers[0]
	}
	note := problem.Finding{Rule: "R4", Severity: problem.Note, Subject: "(01) item"}
	switch {
	case len(items) == 0:
		note.Text, note.Advice = fmt.Sprintf("no item has the GTIN %s", l.Item), "choose the item by hand, and let the purchaser enter the GTIN with the item's source"
	case len(items) > 1:
		note.Text, note.Advice = fmt.Sprintf("the GTIN %s is that of %s", l.Item, list(items)), "choose the item by hand; one of them has it wrong"
	default:
		return err
	}
	l.Findings = append(l.Findings, note)
	return err
}

// known gives what of a label is here already: the one cylinder with its serial, else the list of its serial or of its lot,
// else the item where the code says nothing more. The kind is "" where nothing is.
func (s scanning) known(ctx context.Context, l *ScanLabel) (Meaning, error) {
	if known, err := s.knownSerial(ctx, l); err != nil || known.Kind != "" {
		return known, err
	}
	lots, err := s.store.LotsOfKey(ctx, unit.Fold(l.Lot))
	lots = slices.DeleteFunc(lots, func(lot store.LotOf) bool { return !l.from(lot.SupplierID) })
	switch {
	case err != nil:
		return Meaning{}, err
	case len(lots) > 0:
		return ofLots(lots), nil
	case l.ItemCode != "" && l.onlyItem():
		return s.ofCode(store.Coded{Noun: "item", Code: l.ItemCode}), nil
	}
	return Meaning{}, nil
}

// knownSerial looks for the serial, under the label's own lot and supplier where it names them.
func (s scanning) knownSerial(ctx context.Context, l *ScanLabel) (Meaning, error) {
	serial := unit.Fold(l.Serial)
	if serial == "" {
		return Meaning{}, nil
	}
	cylinders, err := s.store.CylindersOfSerial(ctx, serial)
	cylinders = slices.DeleteFunc(cylinders, func(c store.SerialOf) bool {
		return !l.from(c.SupplierID) || l.Lot != "" && c.LotKey != unit.Fold(l.Lot)
	})
	switch {
	case err != nil || len(cylinders) == 0:
		return Meaning{}, err
	case len(cylinders) == 1:
		return ofCylinder(cylinders[0].Tag), nil
	}
	return ofSerial(serial, cylinders), nil
}

// from tells whether a supplier may have sent what the label is on.
func (l *ScanLabel) from(supplier int64) bool {
	return len(l.suppliers) == 0 || slices.Contains(l.suppliers, supplier)
}

func (l *ScanLabel) onlyItem() bool {
	return l.Lot == "" && l.Serial == "" && l.ExpiresOn == "" && l.ProducedOn == ""
}

// arrival is where a label leads of which nothing is here yet: to goods in for those who may receive, else to a search.
func (s scanning) arrival(l *ScanLabel) string {
	switch text := cmp.Or(l.Lot, l.Serial, l.Item); {
	case !l.onlyItem() && auth.Can(s.by.Role, auth.Receive):
		return "/receipts/new?" + l.prefilled().Encode()
	case text != "":
		return searchFor(text)
	}
	return ""
}

// prefilled is what a label fills in on the form of goods in, by the names of its fields.
func (l *ScanLabel) prefilled() url.Values {
	fields := url.Values{}
	for name, value := range map[string]string{
		"item": l.ItemCode, "supplier": l.Supplier, "lot": l.Lot, "label_expires_on": string(l.ExpiresOn), "filled_on": string(l.ProducedOn), "serials": l.Serial,
	} {
		if value != "" {
			fields.Set(name, value)
		}
	}
	if l.ItemCode == "" && l.Item != "" {
		fields.Set("gtin", l.Item)
	}
	return fields
}

// words says what a label says.
func (l *ScanLabel) words() string {
	var words []string
	for _, part := range []struct{ name, value string }{
		{"item", cmp.Or(l.ItemCode, l.Item)}, {"lot", l.Lot}, {"serial", l.Serial}, {"expiry", l.ExpiresOn.Words()}, {"produced", l.ProducedOn.Words()},
	} {
		if part.value != "" {
			words = append(words, part.name+" "+part.value)
		}
	}
	return strings.Join(words, ", ")
}
