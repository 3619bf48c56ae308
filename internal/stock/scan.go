package stock

import (
	"context"
	"net/url"
	"strings"

	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// ScanAnswer is what a scanned or typed text means, and where that stands.
type ScanAnswer struct {
	Kind string   `json:"kind"` // cylinder, lot, serial, item, regulator, or text where it is none of these
	Text string   `json:"text"`
	Tag  unit.Tag `json:"tag"` // of a cylinder
	URL  string   `json:"url"`
}

// Scan finds out what a text means by exact names alone; any other text is a search, never a guess (R4).
func (r Room) Scan(ctx context.Context, text string) (ScanAnswer, error) {
	text = strings.TrimSpace(text)
	if tag, err := unit.ParseTag(text); err == nil {
		taken, err := r.Store.TagTaken(ctx, tag)
		if err != nil || taken {
			return ScanAnswer{Kind: "cylinder", Text: text, Tag: tag, URL: "/cylinders/" + string(tag)}, err
		}
	}
	for _, s := range []struct {
		kind, url string
		is        func() (bool, error)
	}{
		{"lot", searchFor(text), func() (bool, error) { return r.Store.LotKnown(ctx, unit.Fold(text)) }},
		{"serial", searchFor(text), func() (bool, error) { return r.Store.SerialKnown(ctx, unit.Fold(text)) }},
		{"item", "/items/" + url.PathEscape(text), func() (bool, error) { return inCatalogue(ctx, r.Store, "item", text) }},
		{"regulator", "/regulators/" + url.PathEscape(text), func() (bool, error) { return inCatalogue(ctx, r.Store, "regulator", text) }},
	} {
		if is, err := s.is(); err != nil || is {
			return ScanAnswer{Kind: s.kind, Text: text, URL: s.url}, err
		}
	}
	return ScanAnswer{Kind: "text", Text: text, URL: searchFor(text)}, nil
}

// searchFor is the list of everything with a text in its tag, lot or serial, what is gone included.
func searchFor(text string) string {
	return "/cylinders?stage=all&q=" + url.QueryEscape(text)
}

func inCatalogue(ctx context.Context, s *store.Store, noun, code string) (bool, error) {
	id, err := s.CatalogueID(ctx, noun, code)
	return id != 0, err
}
