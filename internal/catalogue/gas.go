package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/gas"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Blends gives every blend as it is now.
func Blends(ctx context.Context, s *store.Store) ([]Blend, error) {
	return all[Blend](ctx, s, "blend")
}

// MixOf gives a blend as the gas room takes it. The parts are those of the whole blend, its balance gas included.
func MixOf(parts []store.BlendComponent) gas.Mix {
	mix := gas.Mix{}
	for _, p := range parts {
		mix[p.Formula] += p.Amount.Fraction()
	}
	return mix
}

// ShelfTerms gives what the use-by of a cylinder depends on. The paper is its own or its lot's, nil where none is here; the
// day of opening is "" while it is sealed.
func ShelfTerms(lot models.Lot, item models.Item, parts []store.BlendComponent, paper *models.Certificate, opened unit.Date) shelf.Terms {
	t := shelf.Terms{
		LabelExpiresOn: lot.LabelExpiresOn, FilledOn: lot.FilledOn, AssayedOn: lot.AssayedOn, OpenedOn: opened,
		Limits: map[string]shelf.Limit{}, StoreCapMonths: whole(item.StoreCapMonths),
	}
	if paper != nil {
		t.CertificateExpiresOn = paper.ExpiresOn
	}
	for _, p := range parts {
		t.Components = append(t.Components, p.Code)
		t.Limits[p.Code] = limitOf(p)
	}
	return t
}

// limitOf takes the stricter of fallback and cap where there is no supplier's date: a site that trusts a gas for six months
// under a certificate does not trust it longer without one.
func limitOf(p store.BlendComponent) shelf.Limit {
	l := shelf.Limit{CapMonths: whole(p.CapMonths), FallbackMonths: whole(p.FallbackMonths), OpenedDays: whole(p.OpenedDays)}
	if l.CapMonths != nil && l.FallbackMonths != nil && *l.CapMonths < *l.FallbackMonths {
		l.FallbackMonths = l.CapMonths
	}
	return l
}

func whole(n *int64) *int {
	if n == nil {
		return nil
	}
	i := int(*n)
	return &i
}

// CutoffOf gives the pressure below which the gas of an item is not used, and which figure sets it (R10). Exact is for what
// relies on the certified value. Certificate and regulator may ask for more.
func (s Settings) CutoffOf(item models.Item, parts []store.BlendComponent, exact bool) (bar float64, why string) {
	if item.Cutoff != nil {
		return item.Cutoff.Bar(), "the item's cut-off"
	}
	sticky := s.adsorbing(parts)
	switch {
	case sticky == "":
		return s.CutoffBar, "the site's cut-off"
	case exact:
		return s.CutoffCalibrationAdsorbingBar, fmt.Sprintf("the site's cut-off for calibration with %s", sticky)
	default:
		return s.CutoffBumpAdsorbingBar, fmt.Sprintf("the site's cut-off for bump tests with %s", sticky)
	}
}

// adsorbing names the first strongly adsorbing component above the site's threshold, or "".
func (s Settings) adsorbing(parts []store.BlendComponent) string {
	for _, p := range parts {
		if p.Adsorbs && p.Amount.PPM() > s.AdsorbingAbovePPM {
			return p.Code
		}
	}
	return ""
}
