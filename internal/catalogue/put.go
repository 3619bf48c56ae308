package catalogue

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Make adds a thing to the catalogue and answers it at version 1. The order's type says what it is.
func (r Room) Make(ctx context.Context, act auth.Act, order Order) (Order, error) {
	return r.once(ctx, act, order, func(tx *store.Store) (json.RawMessage, error) {
		return r.make(ctx, tx, act, order)
	})
}

// Change replaces the thing under a code as a whole and answers its new version. An order that carries the version it was
// read at is refused when the thing has changed since.
func (r Room) Change(ctx context.Context, act auth.Act, code string, order Order) (Order, error) {
	return r.once(ctx, act, order, func(tx *store.Store) (json.RawMessage, error) {
		return r.change(ctx, tx, act, code, order)
	})
}

// once keeps the document, not the order: it is read back into an order of the same noun.
func (r Room) once(ctx context.Context, act auth.Act, order Order, fn func(tx *store.Store) (json.RawMessage, error)) (Order, error) {
	n, ok := nounNamed(order.head().noun)
	if !ok {
		return nil, errors.New("catalogue: no noun " + order.head().noun)
	}
	doc, err := store.Once(ctx, r.Store, act.Once(), fn)
	if err != nil {
		return nil, err
	}
	return n.read(string(doc))
}

func (r Room) make(ctx context.Context, tx *store.Store, act auth.Act, order Order) (json.RawMessage, error) {
	h := order.head()
	code := strings.TrimSpace(*h.code)
	if codePattern.MatchString(code) {
		if err := notTaken(ctx, tx, h.noun, code); err != nil {
			return nil, err
		}
	}
	doc, err := r.put(ctx, tx, act, order, models.Version{})
	if problem.KindOf(err) == problem.Conflict {
		return nil, taken(h.noun, code)
	}
	return doc, err
}

// notTaken refuses a code that is there already, in this or another case: people would mistake one for the other.
func notTaken(ctx context.Context, tx *store.Store, noun, code string) error {
	there, err := tx.CatalogueCode(ctx, noun, code)
	if err != nil || there == "" {
		return err
	}
	return taken(noun, there)
}

func taken(noun, code string) error {
	text := fmt.Sprintf("there is %s %q already", article(noun), code)
	advice := "change that one, or choose another code; capitals and small letters count as the same"
	return &problem.Error{Kind: problem.Conflict, Detail: text, Advice: advice, Fields: problem.Fields{{Name: "code", Text: text, Advice: advice}}}
}

func (r Room) change(ctx context.Context, tx *store.Store, act auth.Act, code string, order Order) (json.RawMessage, error) {
	h := order.head()
	had, known, err := tx.LatestVersion(ctx, h.noun, code)
	if err != nil {
		return nil, err
	}
	if !known && h.noun != settingsNoun { // settings are there from the start, at version 0
		return nil, problem.NotFound(h.noun, code)
	}
	if *h.version != 0 && *h.version != had.Version {
		return nil, problem.Stale(h.noun, code, had.Version, *h.version)
	}
	had.Code = code
	return r.put(ctx, tx, act, order, had)
}

// put is the one way into the catalogue: check, typed row, version, ledger. had is the state before, without a code for a new thing.
func (r Room) put(ctx context.Context, tx *store.Store, act auth.Act, order Order, had models.Version) (json.RawMessage, error) {
	settings, err := CurrentSettings(ctx, tx)
	if err != nil {
		return nil, err
	}
	now := r.Now()
	h, c := order.head(), &checker{store: tx, settings: settings, now: unit.InstantOf(now), today: settings.Today(now), before: had.Doc}
	c.head(h, had.Code)
	*h.version = had.Version + 1
	p := order.check(ctx, c)
	if err := c.err(); err != nil {
		return nil, err
	}
	if err := write(ctx, tx, h, p); err != nil {
		return nil, err
	}
	doc, err := json.Marshal(order)
	if err != nil {
		return nil, err
	}
	return doc, record(ctx, tx, act, c, h, string(doc))
}

func write(ctx context.Context, tx *store.Store, h head, p projection) error {
	if p.row == nil {
		return nil
	}
	id, err := tx.PutCatalogueRow(ctx, h.noun, *h.code, *h.version-1, p.row)
	if err != nil || p.children == nil {
		return err
	}
	return p.children(ctx, tx, id)
}

func record(ctx context.Context, tx *store.Store, act auth.Act, c *checker, h head, after string) error {
	version := models.Version{Noun: h.noun, Code: *h.code, Version: *h.version, Doc: after, RecordedAt: c.now, ByName: act.By.Name}
	if err := tx.AddVersion(ctx, version); err != nil {
		return err
	}
	return tx.Append(ctx, models.Entry{
		RecordedAt: c.now, HappenedAt: c.now, ByName: act.By.Name, RequestID: act.Request, Reason: inOneLine(c.reasons),
		Kind: "catalogue", Subject: "catalogue:" + h.noun + ":" + *h.code, Before: c.before, After: after,
	})
}

func inOneLine(reasons map[string]string) string {
	var parts []string
	for rule, reason := range reasons {
		if reason != "" {
			parts = append(parts, rule+": "+reason)
		}
	}
	slices.Sort(parts)
	return strings.Join(parts, "; ")
}

// read gives an order back from the document that was kept of it.
func (n Noun) read(doc string) (Order, error) {
	order := n.New()
	return order, decode(n.Name, doc, order)
}

func decode(noun, doc string, into any) error {
	if err := json.Unmarshal([]byte(doc), into); err != nil {
		return fmt.Errorf("catalogue: reading a kept %s: %w", noun, err)
	}
	return nil
}
