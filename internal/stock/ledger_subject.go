package stock

import (
	"context"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/models"
)

// Subject is what a ledger entry is about: its name in the ledger, in words, and its page where it has one.
type Subject struct{ Key, Words, Href string }

// subjects names the subjects of entries, and one more where it is given.
func (r Room) subjects(ctx context.Context, one string, entries []models.Entry) (map[string]Subject, error) {
	names := map[string]Subject{}
	if one != "" {
		names[one] = Subject{}
	}
	for _, e := range entries {
		names[e.Subject] = Subject{}
	}
	var ids []int64
	for key := range names {
		if id, err := strconv.ParseInt(strings.TrimPrefix(key, "lot:"), 10, 64); err == nil {
			ids = append(ids, id)
		}
	}
	lots, err := r.Store.LotsByID(ctx, ids)
	nouns := nounsByName()
	for key := range names {
		names[key] = subject(key, nouns, lots)
	}
	return names, err
}

func nounsByName() map[string]catalogue.Noun {
	nouns := map[string]catalogue.Noun{}
	for _, n := range append(catalogue.Nouns(), catalogue.SettingsNoun()) {
		nouns[n.Name] = n
	}
	return nouns
}

// subject puts a name of the ledger such as "cylinder:7F3K-2QAQ" or "catalogue:item:Q4" into words.
func subject(key string, nouns map[string]catalogue.Noun, lots map[int64]models.Lot) Subject {
	kind, name, _ := strings.Cut(strings.TrimPrefix(key, "catalogue:"), ":")
	s := Subject{Key: key, Words: strings.TrimSpace(spaced(kind) + " " + name)}
	n, known := nouns[kind]
	switch {
	case kind == "cylinder":
		s.Href = "/cylinders/" + url.PathEscape(name)
	case kind == "lot":
		s.Href = "/lots/" + url.PathEscape(name)
		if id, err := strconv.ParseInt(name, 10, 64); err == nil && lots[id].ID == id {
			s.Words = "lot " + lots[id].Lot
		}
	case kind == "task":
		s.Words = fmt.Sprintf("job %s of the stores desk", name)
	case kind == "person":
		s.Words = name
	case kind == catalogue.SettingsNoun().Name:
		s.Words, s.Href = "the settings", "/settings"
	case known:
		s.Href = "/" + n.Plural + "/" + url.PathEscape(name)
	}
	return s
}
