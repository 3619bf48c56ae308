package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/unit"
	"spanroom/models"
)

// Place is where things stand: a cage, a shelf, a van. A van counts as custody of its own, and at a station cylinders stay connected.
type Place struct {
	Code            string     `json:"code"`
	Name            string     `json:"name,omitempty"`
	Version         int64      `json:"version"`
	Kind            string     `json:"kind"`
	MaxCylinders    *int64     `json:"max_cylinders,omitempty"`
	MaxWaterVolume  unit.Typed `json:"max_water_volume,omitempty"`
	MaxWaterVolumeL float64    `json:"max_water_volume_l,omitempty"`
	StorageGroups   []string   `json:"storage_groups,omitempty"`
	LimitSource     string     `json:"limit_source,omitempty"`
	Note            string     `json:"note,omitempty"`
}

// placeKinds are offered; a site may have others.
var placeKinds = []string{"cage", "shelf", "cabinet", "bench", "quarantine", "van", "station", "site", "other"}

func (o *Place) head() head { return head{"place", &o.Code, &o.Name, &o.Version} }

func (o *Place) check(_ context.Context, c *checker) projection {
	c.text("kind", &o.Kind)
	if o.Kind == "" {
		o.Kind = "other"
	}
	c.limit("max_cylinders", o.MaxCylinders, 0, 100_000, "cylinders")
	o.MaxWaterVolumeL = quantity(c, "max_water_volume", &o.MaxWaterVolume, unit.ParseVolume).Litres()
	for i := range o.StorageGroups {
		field := fmt.Sprintf("storage_groups.%d", i)
		c.text(field, &o.StorageGroups[i])
		if o.StorageGroups[i] == "" {
			c.missing(field, "name the storage group, or take the line out")
		}
	}
	c.text("limit_source", &o.LimitSource)
	c.note("note", &o.Note)
	return projection{row: &models.Place{
		Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Kind: o.Kind, MaxCylinders: o.MaxCylinders,
	}}
}

var placeForm = []FormField{
	codeField,
	nameField,
	{Name: "kind", Label: "Kind", Hint: "A van is a place on wheels; at a station cylinders stay connected.", Kind: Text, Options: placeKinds, Required: true},
	{Name: "max_cylinders", Label: "Most cylinders", Hint: "More than these ask for a reason. Empty: no limit.", Kind: Number},
	{Name: "max_water_volume", Label: "Most water volume", Hint: "Of all cylinders together. Empty: no limit.", Kind: Quantity, Units: volumeUnits},
	{Name: "storage_groups", Label: "Storage groups", Hint: "The site's own groups that may stand here. None: all.", Kind: Rows, Rows: []FormField{{Label: "Group", Kind: Text}}},
	{Name: "limit_source", Label: "Source of the limits", Hint: "The local rule or permit that they come from.", Kind: Text},
	noteField,
}
