package stock

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"spanroom/internal/store"
)

// The causes of gas that left without being logged.
const (
	LeftOn    = "regulator left on"
	Purged    = "purge"
	MoreTests = "more tests"
	Leaked    = "leak"
	Unclear   = "unknown"
)

var causes = []string{LeftOn, Purged, MoreTests, Leaked, Unclear}

// ReturnCauses lists the causes in the order in which a form offers them.
func ReturnCauses() []string { return slices.Clone(causes) }

var shortages = []string{"tests not done", "another gauge", "another cylinder was used"}

// ShortCauses lists why less gas may have left than was logged, in the order in which a form offers them.
func ShortCauses() []string { return slices.Clone(shortages) }

// causeOf reads the cause in a reason, the most serious first; a reason that names none of them stands as it is.
func causeOf(reason string) string {
	text := strings.ToLower(strings.TrimSpace(reason))
	for _, one := range []struct {
		cause string
		words []string
	}{
		{Leaked, []string{"leak"}}, {Unclear, []string{"unknown", "not known", "don't know", "do not know", "no idea"}},
		{LeftOn, []string{"left on", "left open", "valve open"}}, {MoreTests, []string{"more test"}}, {Purged, []string{"purge"}},
	} {
		if slices.ContainsFunc(one.words, func(word string) bool { return strings.Contains(text, word) }) {
			return one.cause
		}
	}
	return text
}

// suspect tells whether a cause leaves a leak possible.
func suspect(cause string) bool { return cause == Leaked || cause == Unclear }

// wasteOf names the waste of a cause (R44); tests that nobody logged are no waste.
func wasteOf(cause string) string {
	switch cause {
	case LeftOn:
		return "valve open"
	case MoreTests:
		return ""
	}
	return cause
}

// lastCause gives how a person explained the last loss, or "".
func lastCause(ctx context.Context, s *store.Store, holderID int64) (string, error) {
	doc, err := s.LastExcess(ctx, holderID)
	if err != nil || doc == "" {
		return "", err
	}
	var e Explained
	if err := json.Unmarshal([]byte(doc), &e); err != nil || e.Return == nil {
		return "", err
	}
	return e.Return.Cause, nil
}
