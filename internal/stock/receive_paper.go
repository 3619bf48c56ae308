package stock

import (
	"fmt"
	"strings"

	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// The kinds of document.
const (
	Analysis   = "analysis"
	Conformity = "conformity"
)

const mostValues = 50

// paper is a document that has been read: what is kept of it, and when it says of itself that it ends.
type paper struct {
	models.Certificate
	values  []certified
	ownDate unit.Date // what is printed; ExpiresOn may come from the months of validity
}

// asKept is the document as it is read back later.
func (p *paper) asKept() *certificate {
	c := &certificate{Certificate: p.Certificate}
	for _, v := range p.values {
		c.values = append(c.values, store.CertifiedValue{CertificateValue: models.CertificateValue{ComponentID: v.ID, Amount: v.amount, Uncertainty: v.uncertainty, Typed: v.typed}})
	}
	return c
}

// certified is one value of a document.
type certified struct {
	store.Named
	amount, uncertainty unit.Amount
	typed               string
}

// blank tells whether nothing is filled in but component names.
func (o *CertificateOrder) blank() bool {
	if o == nil {
		return true
	}
	for _, v := range o.Values {
		if v.Amount != "" || v.Uncertainty != "" {
			return false
		}
	}
	return o.Number == "" && o.IssuedOn == "" && o.ExpiresOn == "" && o.MinUsePressure == ""
}

// certificate reads a document; nil where there is none. The prefix is what its fields are called by in the order: "certificate.".
func (r *orderReader) certificate(prefix string, o *CertificateOrder) *paper {
	if o.blank() {
		return nil
	}
	p := &paper{Certificate: models.Certificate{Kind: o.Kind, RecordedAt: r.at}}
	switch p.Kind {
	case Analysis, Conformity:
	case "":
		p.Kind = Analysis
	default:
		r.wrong.Add(prefix+"kind", fmt.Sprintf("%q is no kind of certificate", clip(o.Kind)), "choose analysis or conformity")
	}
	p.Number = r.text(prefix+"number", o.Number, longestName)
	p.IssuedOn = r.past(prefix+"issued_on", o.IssuedOn)
	p.ExpiresOn = r.date(prefix+"expires_on", o.ExpiresOn)
	p.ownDate = p.ExpiresOn
	p.MinUsePressure = quantityOf(r, prefix+"min_use_pressure", o.MinUsePressure, unit.ParsePressure)
	r.values(prefix+"values", o.Values, p)
	return p
}

func (r *orderReader) values(field string, orders []ValueOrder, p *paper) {
	if len(orders) > mostValues {
		r.wrong.Add(field, fmt.Sprintf("there are %d values, more than the %d that fit", len(orders), mostValues), "leave out what is not of the blend")
		return
	}
	seen := map[int64]bool{}
	for i, o := range orders {
		name := fmt.Sprintf("%s.%d", field, i)
		if o.Amount == "" && o.Uncertainty == "" {
			continue // a row of the form that stayed empty
		}
		v := certified{Named: r.component(name+".component", o.Component), typed: string(o.Amount)}
		if v.amount = quantityOf(r, name+".amount", o.Amount, unit.ParseAmount); o.Amount == "" {
			r.wrong.Add(name+".amount", "there is an uncertainty and no amount", "copy the certified amount with its unit")
		}
		v.uncertainty = r.uncertainty(name+".uncertainty", o.Uncertainty, v.amount)
		if v.ID != 0 && seen[v.ID] {
			r.wrong.Add(name+".component", v.Code+" is there twice", "take one of the two lines out")
		}
		seen[v.ID] = true
		p.values = append(p.values, v)
	}
}

// component finds what a line of a certificate is about, by code or, within the blend, by formula.
func (r *orderReader) component(field, typed string) store.Named {
	key := unit.Fold(typed)
	for _, part := range r.names.parts {
		if key == unit.Fold(part.Code) || key == unit.Fold(part.Formula) {
			return store.Named{ID: part.ComponentID, Code: part.Code, Name: part.Name}
		}
	}
	c, known := r.names.components[key]
	switch {
	case key == "":
		r.wrong.Add(field, "the component is not given", "name it as the blend does, such as H2S")
	case !known && r.names.components != nil:
		r.wrong.Add(field, fmt.Sprintf("there is no component %q", clip(typed)), "name it as the catalogue does, such as H2S")
	}
	return c
}

// uncertainty reads the expanded uncertainty of a value: an amount, or a share of the value such as "2 %rel". A bare
// percentage can mean either and is refused.
func (r *orderReader) uncertainty(field string, typed unit.Typed, of unit.Amount) unit.Amount {
	text := strings.TrimSpace(string(typed))
	if figure, relative := strings.CutSuffix(strings.ReplaceAll(text, " ", ""), "%rel"); relative {
		return unit.Amount(quantityOf(r, field, unit.Typed(figure+" %"), unit.ParseAmount).Fraction() * float64(of))
	}
	if strings.HasSuffix(text, "%") {
		r.wrong.Add(field, fmt.Sprintf("%q can be a share of the value or of the whole", clip(text)),
			fmt.Sprintf("write %srel for a share of the value, or %svol", text, text))
		return 0
	}
	return quantityOf(r, field, typed, unit.ParseAmount)
}
