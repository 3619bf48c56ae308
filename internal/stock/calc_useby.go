package stock

import (
	"context"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// UseByQuestion asks until when a gas may be used. It is that of an item, which brings the store's cap, or of a blend, or single
// components; dates are as typed, and those that nobody knows are left out.
type UseByQuestion struct {
	Item                 string    `json:"item"`
	Blend                string    `json:"blend"`
	Components           []string  `json:"components"`
	FilledOn             unit.Date `json:"filled_on"` // or assayed
	CertificateExpiresOn unit.Date `json:"certificate_expires_on"`
	LabelExpiresOn       unit.Date `json:"label_expires_on"`
	OpenedOn             unit.Date `json:"opened_on"`
}

// UseByAnswer is the use-by with what limits it, and the date of each term beside it.
type UseByAnswer struct {
	UseByDate
	Gas                string
	Components         []string // the balance included where it is known
	Today              unit.Date
	Expired            bool
	CalibrationAllowed bool
	Terms              []UseByTerm // none where it is undated
	Findings           []problem.Finding
}

// UseByTerm is the date of one term, and the day from which it counts, "" where nobody knows it.
type UseByTerm struct {
	Name     string // "Cl2: site cap 8 months"
	From, On unit.Date
	Limits   bool
}

// CalculateUseBy answers a UseByQuestion by the site's table of components (R7).
func (r Room) CalculateUseBy(ctx context.Context, q UseByQuestion) (UseByAnswer, error) {
	reader, err := r.calculating(ctx)
	if err != nil {
		return UseByAnswer{}, err
	}
	g, terms := reader.useBy(ctx, q)
	if err := reader.err(); err != nil {
		return UseByAnswer{}, err
	}
	return reader.useByAnswer(g, terms), nil
}

func (r *needReader) useBy(ctx context.Context, q UseByQuestion) (namedGas, shelf.Terms) {
	g := r.gas(ctx, q.Item, q.Blend)
	switch named := strings.TrimSpace(q.Item+q.Blend) != ""; {
	case named && len(q.Components) > 0:
		r.wrong.Add("components", "an item or a blend is chosen as well, which has its own components", "leave one of the two out")
	case named: // told already where there is none
	case len(q.Components) > 0:
		g.parts = r.single(ctx, q.Components)
	default:
		r.wrong.Add("item", "it is not said which gas it is", "choose an item or a blend, or name its components")
	}
	lot := models.Lot{FilledOn: r.past("filled_on", q.FilledOn), LabelExpiresOn: r.date("label_expires_on", q.LabelExpiresOn)}
	paper := models.Certificate{ExpiresOn: r.date("certificate_expires_on", q.CertificateExpiresOn)}
	opened := r.openedOn("opened_on", q.OpenedOn, true, lot.FilledOn)
	return g, catalogue.ShelfTerms(lot, g.item, g.parts, &paper, opened)
}

// single looks up components that are named one by one.
func (r *needReader) single(ctx context.Context, codes []string) []store.BlendComponent {
	parts := make([]store.BlendComponent, 0, len(codes))
	for _, code := range codes {
		if c := found(ctx, r, "components", "component", code, r.store.ComponentByCode); c != nil {
			parts = append(parts, store.BlendComponent{
				ComponentID: c.ID, Code: c.Code, Name: c.Name, Formula: c.Formula, CapMonths: c.CapMonths, FallbackMonths: c.FallbackMonths, OpenedDays: c.OpenedDays,
			})
		}
	}
	return parts
}

func (r *needReader) useByAnswer(g namedGas, terms shelf.Terms) UseByAnswer {
	u := terms.UseBy()
	a := UseByAnswer{
		UseByDate: useByDate(u, r.today), Gas: g.name, Components: terms.Components, Today: r.today,
		Expired: shelf.Expired(u.ExpiresOn, r.today, r.settings.ThroughDay()), CalibrationAllowed: u.CalibrationAllowed, Findings: u.Findings,
	}
	if u.Undated {
		return a
	}
	for _, b := range terms.Bounds() {
		name := strings.TrimPrefix(b.Words, "limited by ")
		a.Terms = append(a.Terms, UseByTerm{name, b.From, b.On, b.Term == u.GovernedBy})
	}
	return a
}
