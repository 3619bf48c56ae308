package stock

import (
	"context"
	"encoding/json"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/store"
)

// knownInstruments tells which serials the site knows: those in the catalogue, and those that a round names.
func knownInstruments(ctx context.Context, s *store.Store, serials []string) (map[string]bool, error) {
	tidy := trimmed(serials)
	known, err := s.KnownInstruments(ctx, tidy)
	if err != nil || all(tidy, known) {
		return known, err
	}
	rounds, err := s.LatestVersions(ctx, "round", "", 0)
	if err != nil {
		return nil, err
	}
	for _, v := range rounds {
		var round catalogue.Round
		if err := json.Unmarshal([]byte(v.Doc), &round); err != nil {
			return nil, err
		}
		for _, serial := range round.Instruments {
			known[serial] = true
		}
	}
	return known, nil
}

func trimmed(texts []string) []string {
	tidy := make([]string, len(texts))
	for i, text := range texts {
		tidy[i] = strings.TrimSpace(text)
	}
	return tidy
}

func all(names []string, in map[string]bool) bool {
	for _, name := range names {
		if !in[name] {
			return false
		}
	}
	return true
}
