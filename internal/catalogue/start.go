package catalogue

import (
	"context"
	"slices"

	"spanroom/internal/auth"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
)

// common are the gases that every site meets, by formula, with their names in words.
var common = map[string]string{
	"Ar": "argon", "C2H2": "acetylene", "C2H4": "ethylene", "C2H4O": "ethylene oxide", "C2H6": "ethane", "C3H6": "propylene",
	"C3H8": "propane", "C6H6": "benzene", "C7H8": "toluene", "CH3SH": "methyl mercaptan", "CH4": "methane", "CO": "carbon monoxide",
	"CO2": "carbon dioxide", "COS": "carbonyl sulfide", "CS2": "carbon disulfide", "Cl2": "chlorine", "ClO2": "chlorine dioxide",
	"H2": "hydrogen", "H2S": "hydrogen sulfide", "HCN": "hydrogen cyanide", "HCl": "hydrogen chloride", "HF": "hydrogen fluoride",
	"He": "helium", "N2": "nitrogen", "N2O": "nitrous oxide", "NH3": "ammonia", "NO": "nitric oxide", "NO2": "nitrogen dioxide",
	"O2": "oxygen", "PH3": "phosphine", "SO2": "sulfur dioxide", "air": "air", "iC4H10": "isobutane", "iC4H8": "isobutylene",
	"nC4H10": "n-butane", "nC5H12": "n-pentane", "nC6H14": "n-hexane",
}

// Start gives a new store the common components, with the proposed limits to review, and the default settings. What is there
// already stays as it is.
func (r Room) Start(ctx context.Context, act auth.Act) error {
	return r.Store.Tx(ctx, func(tx *store.Store) error {
		if err := r.startSettings(ctx, tx, act); err != nil {
			return err
		}
		return r.startComponents(ctx, tx, act)
	})
}

// Beginning tells whether the catalogue has an item, without which nothing can be received; until then it counts what there
// is of each noun, by name.
func (r Room) Beginning(ctx context.Context) (sizes map[string]int64, begun bool, err error) {
	if begun, err = r.Store.HasItems(ctx); err != nil || begun {
		return nil, begun, err
	}
	sizes, err = r.Store.CatalogueSizes(ctx)
	return sizes, false, err
}

func (r Room) startSettings(ctx context.Context, tx *store.Store, act auth.Act) error {
	_, known, err := tx.LatestVersion(ctx, settingsNoun, Site)
	if err != nil || known {
		return err
	}
	settings := DefaultSettings()
	_, err = r.change(ctx, tx, act, Site, &settings)
	return err
}

func (r Room) startComponents(ctx context.Context, tx *store.Store, act auth.Act) error {
	proposed := shelf.Proposed()
	formulas := make([]string, 0, len(common))
	for formula := range common {
		formulas = append(formulas, formula)
	}
	slices.Sort(formulas)
	for _, formula := range formulas {
		there, err := tx.CatalogueCode(ctx, "component", formula)
		if err != nil {
			return err
		}
		if there != "" {
			continue
		}
		limit := proposed[formula]
		_, err = r.make(ctx, tx, act, &Component{
			Code: formula, Name: common[formula], Formula: formula,
			CapMonths: months(limit.CapMonths), FallbackMonths: months(limit.FallbackMonths),
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func months(n *int) *int64 {
	if n == nil {
		return nil
	}
	m := int64(*n)
	return &m
}
