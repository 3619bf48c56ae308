package catalogue

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/gs1"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Source is a supplier's article for an item: its price is that of a pack, its MOQ counts units and is whole packs.
type Source struct {
	Supplier        string     `json:"supplier"`
	Article         string     `json:"article,omitempty"`
	GTIN            string     `json:"gtin,omitempty"`
	Pack            int64      `json:"pack"`
	MOQ             int64      `json:"moq"`
	Price           unit.Typed `json:"price,omitempty"`
	MinimumLifeDays int64      `json:"minimum_life_days"`
}

const (
	largestPack = 10_000
	largestMOQ  = 1_000_000
)

// sources reads the sources into rows.
func (o *Item) sources(ctx context.Context, c *checker) []models.Source {
	if o.Sources == nil {
		o.Sources = []Source{}
	}
	var rows []models.Source
	seen := map[string]bool{}
	for i := range o.Sources {
		source, field := &o.Sources[i], fmt.Sprintf("sources.%d.", i)
		row := source.row(ctx, c, field)
		c.once(field+"supplier", "supplier", source.Supplier, seen)
		rows = append(rows, row)
	}
	return rows
}

func (s *Source) row(ctx context.Context, c *checker, field string) models.Source {
	supplier := c.known(ctx, field+"supplier", "supplier", &s.Supplier, true)
	c.text(field+"article", &s.Article)
	c.gtin(field+"gtin", &s.GTIN)
	if s.Pack == 0 {
		s.Pack = 1
	}
	if s.MOQ == 0 {
		s.MOQ = s.Pack
	}
	c.whole(field+"pack", s.Pack, 1, largestPack, "units")
	c.whole(field+"moq", s.MOQ, 1, largestMOQ, "units")
	if s.Pack > 0 && s.MOQ > 0 && s.MOQ%s.Pack != 0 {
		c.wrong.Add(field+"moq", fmt.Sprintf("%d units are not whole packs of %d", s.MOQ, s.Pack),
			fmt.Sprintf("the MOQ counts units, not packs: give %d or %d", s.MOQ/s.Pack*s.Pack+s.Pack, s.MOQ*s.Pack))
	}
	price := c.price(field+"price", &s.Price)
	c.whole(field+"minimum_life_days", s.MinimumLifeDays, 0, 3650, "days")
	row := models.Source{
		Article: s.Article, GTIN: s.GTIN, Pack: s.Pack, MOQ: s.MOQ, MinimumLifeDays: s.MinimumLifeDays,
		PriceMinor: price.Minor, Currency: price.Currency,
	}
	if row.Currency == "" {
		row.Currency = c.settings.Currency
	}
	if supplier != nil {
		row.SupplierID = *supplier
	}
	return row
}

// gtin reads the number of an article of trade and keeps it in its long form, as it stands in symbols.
func (c *checker) gtin(field string, text *string) {
	*text = strings.Join(strings.FieldsFunc(*text, func(r rune) bool { return r == ' ' || r == '-' }), "")
	switch {
	case *text == "":
		return
	case !slices.Contains([]int{8, 12, 13, longGTIN}, len(*text)) || strings.Trim(*text, "0123456789") != "":
		c.wrong.Add(field, fmt.Sprintf("%q is not a GTIN", clip(*text)), "give the 8, 12, 13 or 14 digits under the bar code")
	case !gs1.ValidCheckDigit(*text):
		c.wrong.Add(field, fmt.Sprintf("the last digit of %s does not fit the others", *text), "compare each digit with the label")
	default:
		*text = strings.Repeat("0", longGTIN-len(*text)) + *text
	}
}

const longGTIN = 14

var sourceForm = []FormField{
	{Name: "supplier", Label: "Supplier", Kind: Select, Choices: "supplier", Required: true},
	{Name: "article", Label: "Article number", Hint: "The supplier's own.", Kind: Text},
	{Name: "gtin", Label: "GTIN", Hint: "The digits under the bar code: 8, 12, 13 or 14.", Kind: Text},
	{Name: "pack", Label: "Pack", Hint: "Units in a pack; 1 where they come singly.", Kind: Number},
	{Name: "moq", Label: "Least order", Hint: "In units, a multiple of the pack.", Kind: Number},
	{Name: "price", Label: "Price of a pack", Kind: Quantity, Units: priceUnits},
	{Name: "minimum_life_days", Label: "Least life on arrival, days", Hint: "By the supplier's date, as agreed.", Kind: Number},
}
