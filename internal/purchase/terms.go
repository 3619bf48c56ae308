package purchase

import (
	"spanroom/internal/catalogue"
	"spanroom/internal/reorder"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// source gives a supplier's terms for an item as they are answered.
func (k *known) source(item models.Item, s store.SourceOf) Source {
	return Source{
		Supplier: s.Supplier, SupplierName: s.SupplierName, Article: s.Article, Pack: int(s.Pack), MOQ: int(s.MOQ),
		Price:    unit.Money{Minor: s.PriceMinor, Currency: s.Currency},
		LeadDays: int(s.LeadDays), LeadSDDays: int(s.LeadSDDays),
		MinimumLifeDays: int(s.MinimumLifeDays), LifeDays: k.life(item, int(s.MinimumLifeDays)),
	}
}

// terms puts a source into the question of the plan. Suppliers go by their names there, because its sentences are read.
func (k *known) terms(s Source) reorder.Terms {
	return reorder.Terms{
		Supplier: s.SupplierName, Article: s.Article, Pack: s.Pack, MOQ: s.MOQ, Price: s.Price,
		LeadDays: s.LeadDays, LeadUnknown: s.LeadDays == 0, LeadSDDays: s.LeadSDDays, MinimumLifeDays: s.LifeDays,
		ReviewDays: int(k.settings.ReviewDays), ReserveDays: int(k.settings.ReserveDays), Service: k.settings.Service,
	}
}

// endless is a supplier's date so far off that only the site's caps can come before it.
const endless = 36500

// life is what can be counted on when a delivery arrives: the supplier's minimum, shortened by the site's caps as if the gas
// were filled on that day. It is 0 where neither says anything.
func (k *known) life(item models.Item, minimum int) int {
	if item.BlendID == nil {
		return 0
	}
	label := minimum
	if label <= 0 {
		label = endless
	}
	arrival := models.Lot{FilledOn: k.today, LabelExpiresOn: k.today.AddDays(label)}
	useBy := catalogue.ShelfTerms(arrival, item, k.mixtures[*item.BlendID].parts, nil, "").UseBy()
	days := k.today.DaysUntil(useBy.ExpiresOn)
	if days >= endless {
		return 0
	}
	return days
}
