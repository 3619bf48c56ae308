package catalogue

import (
	"context"
	"sync"

	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// CurrentSettings gives the policy in force, in one query. The slices in it are shared: nobody may write to them.
func CurrentSettings(ctx context.Context, s *store.Store) (Settings, error) {
	v, known, err := s.LatestVersion(ctx, settingsNoun, Site)
	if err != nil {
		return Settings{}, err
	}
	if !known {
		return DefaultSettings(), nil
	}
	return parseSettings(v.Doc)
}

// SettingsAt gives the policy as it was at a version; version 0 is the defaults, before anybody set anything.
func SettingsAt(ctx context.Context, s *store.Store, version int64) (Settings, error) {
	if version == 0 {
		return DefaultSettings(), nil
	}
	v, err := s.VersionOf(ctx, settingsNoun, Site, version)
	if err != nil {
		return Settings{}, err
	}
	return parseSettings(v.Doc)
}

// parsed remembers settings by their whole document, so that it is right whatever store the document came from. There are
// few: a version is added only when somebody changes the policy.
var parsed sync.Map // string -> Settings

func parseSettings(doc string) (Settings, error) {
	if s, ok := parsed.Load(doc); ok {
		return s.(Settings), nil
	}
	s := blankSettings()
	if err := decode(settingsNoun, doc, s); err != nil {
		return Settings{}, err
	}
	s.location = s.Location()
	parsed.Store(doc, *s)
	return *s, nil
}

// blankSettings are what a document of settings is read into: one from before a setting existed takes its default.
func blankSettings() *Settings {
	s := DefaultSettings()
	return &s
}

// MakingTolerance gives how far a certified amount may lie from the nominal one (R5c): what the blend says, else the
// component, else the site.
func (s Settings) MakingTolerance(c store.BlendComponent) unit.Amount {
	percent := s.MakingTolerancePct
	switch {
	case c.Tolerance > 0:
		return c.Tolerance
	case c.MakingTolerance != nil:
		percent = float64(*c.MakingTolerance) / 100
	case c.Formula == "O2":
		return unit.Amount(s.OxygenToleranceVolPct * 1e7)
	case c.Adsorbs:
		percent = s.MakingToleranceAdsorbingPct
	}
	return unit.Amount(float64(c.Amount) * percent / 100)
}
