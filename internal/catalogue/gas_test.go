package catalogue

import (
	"reflect"
	"testing"

	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

func count(n int64) *int64 { return &n }

var chlorine = []store.BlendComponent{
	{Code: "CL2", Formula: "Cl2", Amount: 10_000, Adsorbs: true, CapMonths: count(8), FallbackMonths: count(6), OpenedDays: count(75)},
	{Code: "N2", Formula: "N2", Amount: 999_990_000, Balance: true},
}

func TestShelfTermsTakeEverythingThatIsKnown(t *testing.T) {
	lot := models.Lot{FilledOn: "2026-08-10", AssayedOn: "2026-08-12", LabelExpiresOn: "2027-07-10"}
	got := ShelfTerms(lot, models.Item{StoreCapMonths: count(9)}, chlorine, &models.Certificate{ExpiresOn: "2027-08-10"}, "2026-12-01")
	u := got.UseBy()
	if u.ExpiresOn != "2027-02-14" || u.GovernedBy != shelf.Opened || u.SupplierExpiresOn != "2027-07-10" {
		t.Errorf("opened: %+v", u)
	}
	sealed := ShelfTerms(lot, models.Item{}, chlorine, nil, "")
	if u := sealed.UseBy(); u.ExpiresOn != "2027-04-12" || u.Component != "CL2" || sealed.CertificateExpiresOn != "" || sealed.StoreCapMonths != nil {
		t.Errorf("sealed and without a certificate: %+v", u)
	}
	if got.StoreCapMonths == nil || *got.StoreCapMonths != 9 || !reflect.DeepEqual(got.Components, []string{"CL2", "N2"}) {
		t.Errorf("terms %+v", got)
	}
}

// Without a supplier's date the stricter of cap and fallback counts, whichever that is.
func TestShelfTermsAreNoLongerWithoutASuppliersDate(t *testing.T) {
	lot := models.Lot{FilledOn: "2026-08-10"}
	for name, c := range map[string]struct {
		limit, fallback *int64
		want            unit.Date
	}{
		"the cap is stricter":      {count(4), count(6), "2026-12-10"},
		"the fallback is stricter": {count(8), count(6), "2027-02-10"},
		"no cap":                   {nil, count(6), "2027-02-10"},
		"no fallback":              {count(4), nil, ""},
	} {
		parts := []store.BlendComponent{{Code: "Cl2", Formula: "Cl2", CapMonths: c.limit, FallbackMonths: c.fallback}}
		if u := ShelfTerms(lot, models.Item{}, parts, nil, "").UseBy(); u.ExpiresOn != c.want || u.CalibrationAllowed || u.Undated != (c.want == "") {
			t.Errorf("%s: %+v, want %q", name, u, c.want)
		}
	}
}

func TestMixOfIsTheWholeBlend(t *testing.T) {
	if mix := MixOf(chlorine); mix.Check() != nil || mix["Cl2"] != 1e-5 {
		t.Errorf("%v: %v", mix, mix.Check())
	}
}

func TestCutoffOf(t *testing.T) {
	s, own := DefaultSettings(), unit.PressureBar(3)
	dry := []store.BlendComponent{{Code: "CH4", Formula: "CH4", Amount: 25_000_000}}
	for _, c := range []struct {
		name  string
		item  models.Item
		parts []store.BlendComponent
		exact bool
		bar   float64
		why   string
	}{
		{"its own", models.Item{Cutoff: &own}, chlorine, true, 3, "the item's cut-off"},
		{"calibration", models.Item{}, chlorine, true, 6.9, "the site's cut-off for calibration with CL2"},
		{"bump", models.Item{}, chlorine, false, 3.5, "the site's cut-off for bump tests with CL2"},
		{"nothing that adsorbs", models.Item{}, dry, true, 2, "the site's cut-off"},
	} {
		if bar, why := s.CutoffOf(c.item, c.parts, c.exact); bar != c.bar || why != c.why {
			t.Errorf("%s: %v, %q; want %v, %q", c.name, bar, why, c.bar, c.why)
		}
	}
	calm := []store.BlendComponent{{Code: "CL2", Formula: "Cl2", Amount: 10_000}}
	if bar, _ := s.CutoffOf(models.Item{}, calm, true); bar != 2 {
		t.Errorf("a gas that the site says does not adsorb: %v", bar)
	}
	s.AdsorbingAbovePPM = 20
	if bar, _ := s.CutoffOf(models.Item{}, chlorine, true); bar != 2 {
		t.Errorf("below the site's threshold: %v", bar)
	}
}
