package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Item is what is stocked: a blend in a size with its outlet, or a consumable. Its sources stand in the order of preference.
type Item struct {
	Code            string     `json:"code"`
	Name            string     `json:"name,omitempty"`
	Version         int64      `json:"version"`
	Kind            string     `json:"kind"`
	CountedIn       string     `json:"counted_in,omitempty"`
	Blend           string     `json:"blend,omitempty"`
	WaterVolume     unit.Typed `json:"water_volume,omitempty"`
	WaterVolumeL    float64    `json:"water_volume_l,omitempty"`
	FillPressure    unit.Typed `json:"fill_pressure,omitempty"`
	FillPressureBar float64    `json:"fill_pressure_bar,omitempty"`
	Outlet          string     `json:"outlet,omitempty"`
	OutletListed    string     `json:"outlet_listed,omitempty"`
	Refillable      bool       `json:"refillable"`
	Cutoff          unit.Typed `json:"cutoff,omitempty"`
	CutoffBar       float64    `json:"cutoff_bar,omitempty"`
	StoreCapMonths  *int64     `json:"store_cap_months,omitempty"`
	Sources         []Source   `json:"sources"`
	Note            string     `json:"note,omitempty"`
}

// Gas is the kind of item that is a cylinder; all other kinds are counted.
const Gas = "gas"

const tubingKind = "tubing"

// What items are counted in.
const (
	InCylinders = "cylinder"
	InEach      = "each"
	InMetres    = "m"
)

// ItemKinds lists the kinds of item.
func ItemKinds() []string {
	return []string{Gas, "regulator", tubingKind, "adapter", "filter", "cap", "other"}
}

func (o *Item) head() head { return head{"item", &o.Code, &o.Name, &o.Version} }

func (o *Item) check(ctx context.Context, c *checker) projection {
	c.oneOf("kind", &o.Kind, ItemKinds()...)
	row := &models.Item{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Kind: o.Kind}
	o.WaterVolumeL, o.FillPressureBar, o.CutoffBar, o.OutletListed = 0, 0, 0, ""
	if o.Kind == Gas {
		o.gas(ctx, c, row)
	} else {
		o.notGas(c)
	}
	o.countedIn(c)
	row.CountedIn = o.CountedIn
	if o.Version > 1 {
		o.stays(ctx, c, row)
	}
	sources := o.sources(ctx, c)
	c.note("note", &o.Note)
	return projection{row: row, children: func(ctx context.Context, tx *store.Store, id int64) error {
		return tx.PutSources(ctx, id, sources)
	}}
}

// countedIn fills in what an item is counted in: gas by the cylinder, all else each, tubing by the metre where the item says so.
func (o *Item) countedIn(c *checker) {
	usual := InEach
	if o.Kind == Gas {
		usual = InCylinders
	}
	c.text("counted_in", &o.CountedIn)
	if o.CountedIn == "" {
		o.CountedIn = usual
	}
	if o.CountedIn != usual && (o.CountedIn != InMetres || o.Kind != tubingKind) {
		c.wrong.Add("counted_in", fmt.Sprintf("an item of kind %s is not counted in %q", clip(o.Kind), clip(o.CountedIn)),
			fmt.Sprintf("leave it out for %q; only tubing is sold by the metre, in \"m\"", usual))
	}
}

// stays refuses to make another thing of an item that is in stock: its cylinders and balances are what it was.
func (o *Item) stays(ctx context.Context, c *checker, row *models.Item) {
	was, err := c.store.ItemByCode(ctx, o.Code)
	stocked := false
	if err == nil {
		stocked, err = c.store.ItemStocked(ctx, was.ID)
	}
	if err != nil {
		c.broken = err
	}
	if !stocked {
		return
	}
	for _, f := range []struct {
		name string
		same bool
	}{
		{"kind", row.Kind == was.Kind}, {"counted_in", row.CountedIn == was.CountedIn},
		{"blend", row.BlendID == nil || was.BlendID == nil || *row.BlendID == *was.BlendID},
	} {
		if !f.same {
			c.wrong.Add(f.name, fmt.Sprintf("goods of %s came in already, so the %s stays as it was", o.Code, wordsOf(f.name)), "make a new item for what is different")
		}
	}
}

func itemForm() []FormField {
	const cylinder, buying = "The cylinder, for gas", "Where it is bought"
	return []FormField{
		codeField,
		nameField,
		{Name: "kind", Label: "Kind", Kind: Select, Options: ItemKinds(), Required: true},
		{Name: "counted_in", Label: "Counted in", Hint: "Empty: cylinders for gas, else each. Tubing may be counted in m.", Kind: Text, Options: []string{InEach, InMetres, InCylinders}},
		{Name: "blend", Label: "Blend", Kind: Select, Choices: "blend", Group: cylinder},
		{Name: "water_volume", Label: "Water volume", Hint: "Of the empty cylinder, not the litres of gas in it.", Kind: Quantity, Units: volumeUnits, Group: cylinder},
		{Name: "fill_pressure", Label: "Fill pressure", Hint: "At 21 °C, as on the label.", Kind: Quantity, Units: pressureUnits, Group: cylinder},
		{Name: "outlet", Label: "Outlet", Hint: "The standard and number.", Kind: Text, Options: outletOptions(), Group: cylinder},
		{Name: "refillable", Label: "Refillable", Kind: Checkbox, Group: cylinder},
		{Name: "cutoff", Label: "Minimum pressure", Hint: "Below it the gas is not used. Empty: as in the settings.", Kind: Quantity, Units: pressureUnits, Group: cylinder},
		{Name: "store_cap_months", Label: "Store cap, months", Hint: "A shorter life by the store's own policy. Empty: none.", Kind: Number, Group: cylinder},
		{Name: "sources", Label: "Sources", Hint: "The preferred one first.", Kind: Rows, Group: buying, One: "Source", Rows: sourceForm},
		noteField,
	}
}
