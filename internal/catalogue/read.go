package catalogue

import (
	"context"

	"spanroom/internal/problem"
	"spanroom/internal/store"
)

const (
	usualPage = 100
	largePage = 500
)

// Past is one state of a thing, with who wrote it and when.
type Past struct {
	Version    int64  `json:"version"`
	RecordedAt string `json:"recorded_at"`
	By         string `json:"by"`
	Object     Order  `json:"object"`
}

// Choice is a thing that a form offers.
type Choice struct {
	Code string `json:"code"`
	Name string `json:"name"`
}

// Blank gives the order that a request is read into: an empty one, or for settings those in force, so that what the
// request leaves out stays as it is. Their lists are left to the check: JSON would lay a shorter one over what is there.
func (r Room) Blank(ctx context.Context, n Noun) (Order, error) {
	if n.Name != settingsNoun {
		return n.New(), nil
	}
	settings, err := CurrentSettings(ctx, r.Store)
	settings.Gauges, settings.LateDays = nil, nil
	return &settings, err
}

// Get gives a thing as it is now.
func (r Room) Get(ctx context.Context, n Noun, code string) (Order, error) {
	v, known, err := r.Store.LatestVersion(ctx, n.Name, code)
	if err != nil {
		return nil, err
	}
	if known {
		return n.read(v.Doc)
	}
	if n.Name == settingsNoun && code == Site {
		settings := DefaultSettings()
		return &settings, nil
	}
	return nil, problem.NotFound(n.Name, code)
}

// GetVersion gives a thing as it was at one of its versions.
func (r Room) GetVersion(ctx context.Context, n Noun, code string, version int64) (Order, error) {
	v, err := r.Store.VersionOf(ctx, n.Name, code, version)
	if err != nil {
		return nil, err
	}
	return n.read(v.Doc)
}

// History lists the states of a thing, newest first.
func (r Room) History(ctx context.Context, n Noun, code string) ([]Past, error) {
	rows, err := r.Store.VersionsOf(ctx, n.Name, code)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, problem.NotFound(n.Name, code)
	}
	past := make([]Past, len(rows))
	for i, v := range rows {
		order, err := n.read(v.Doc)
		if err != nil {
			return nil, err
		}
		past[i] = Past{v.Version, v.RecordedAt.String(), v.ByName, order}
	}
	return past, nil
}

// List gives a page of the things of a noun after a code, by code, and the code to go on from, or "" at the end.
func (r Room) List(ctx context.Context, n Noun, after string, limit int) (rows []Order, next string, err error) {
	if limit <= 0 {
		limit = usualPage
	}
	limit = min(limit, largePage)
	found, err := r.Store.LatestVersions(ctx, n.Name, after, limit+1)
	if err != nil {
		return nil, "", err
	}
	if len(found) > limit {
		found = found[:limit]
		next = found[limit-1].Code
	}
	rows = make([]Order, len(found))
	for i, v := range found {
		if rows[i], err = n.read(v.Doc); err != nil {
			return nil, "", err
		}
	}
	return rows, next, nil
}

// Choices lists everything of a noun for the forms that offer it.
func (r Room) Choices(ctx context.Context, n Noun) ([]Choice, error) {
	rows, err := r.Store.CatalogueNames(ctx, n.Name)
	if err != nil {
		return nil, err
	}
	choices := make([]Choice, len(rows))
	for i, row := range rows {
		choices[i] = Choice{row.Code, row.Name}
	}
	return choices, nil
}

// Rounds gives every round as it is now.
func Rounds(ctx context.Context, s *store.Store) ([]Round, error) {
	return all[Round](ctx, s, "round")
}

func all[T any](ctx context.Context, s *store.Store, noun string) ([]T, error) {
	rows, err := s.LatestVersions(ctx, noun, "", 0)
	if err != nil {
		return nil, err
	}
	things := make([]T, len(rows))
	for i, v := range rows {
		if err := decode(noun, v.Doc, &things[i]); err != nil {
			return nil, err
		}
	}
	return things, nil
}
