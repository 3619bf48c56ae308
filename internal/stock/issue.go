package stock

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// IssueOrder hands out a consumable: counted, or its length where it is kept by the metre. To says who or what it is for; it
// is the person who asks where it is left out. The place may be left out where the item stands at one place only.
type IssueOrder struct {
	Item     string            `json:"item"`
	Counted  int64             `json:"counted,omitempty"`
	Quantity unit.Typed        `json:"quantity,omitempty"`
	Place    string            `json:"place,omitempty"`
	To       string            `json:"to,omitempty"`
	Reasons  map[string]string `json:"reasons,omitempty"`
}

// IssueAnswer is what was handed out and what the book says now. Figures are pieces, or metres where the unit is m.
type IssueAnswer struct {
	Item     string            `json:"item"`
	Place    string            `json:"place"`
	To       string            `json:"to"`
	Issued   float64           `json:"issued"`
	Found    float64           `json:"found"` // more than the book had, booked in first
	Balance  float64           `json:"balance"`
	Unit     string            `json:"unit"`
	Findings []problem.Finding `json:"findings"`
}

const mostIssued = 1_000_000

// beyondBook is why stock is found that the book did not have (R39).
const beyondBook = "issue beyond book"

// Issue hands out a consumable. Whoever holds the thing is right: what is beyond the book is booked as found first, so that a
// balance is never below zero (R39).
func (r Room) Issue(ctx context.Context, act auth.Act, o IssueOrder) (IssueAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (IssueAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return IssueAnswer{}, err
		}
		i, err := readIssue(ctx, tx, m, act.By, o)
		if err != nil {
			return IssueAnswer{}, err
		}
		book, err := tx.Balance(ctx, i.item.ID, i.place.ID)
		if err != nil {
			return IssueAnswer{}, err
		}
		return i.write(ctx, tx, act, o, book)
	})
}

// issue is an order that has been read.
type issue struct {
	moment
	item     models.Item
	place    models.Place
	to       string
	quantity int64 // pieces, or millimetres
}

func readIssue(ctx context.Context, tx *store.Store, m moment, by auth.Person, o IssueOrder) (issue, error) {
	r := newNeedReader(tx, m, by)
	i := issue{moment: m, to: r.text("to", o.To, longestName)}
	if i.to == "" {
		i.to = by.Name
	}
	if strings.TrimSpace(o.Item) == "" {
		r.wrong.Add("item", "the item is not given", "choose what is handed out")
	}
	if item := found(ctx, r, "item", "item", o.Item, tx.ItemByCode); item != nil {
		i.item = *item
		i.quantity = r.issued(*item, o)
	}
	i.place = r.issuedFrom(ctx, i.item, o.Place)
	r.reasons(o.Reasons)
	return i, r.err()
}

// issued reads how much is handed out, in the unit of the ledger.
func (r *needReader) issued(item models.Item, o IssueOrder) int64 {
	if item.Kind == catalogue.Gas {
		r.wrong.Add("item", item.Code+" is gas", "check the cylinder out instead, so that it comes back to you")
		return 0
	}
	if item.CountedIn == catalogue.InMetres {
		if o.Counted != 0 {
			r.wrong.Add("counted", item.Code+" is kept by the metre", `give its length as quantity, such as "2.5 m"`)
		}
		length := quantityOf(&r.orderReader, "quantity", o.Quantity, unit.ParseLength)
		if o.Quantity == "" || length < 1 && len(r.wrong) == 0 || length > mostMillimetres {
			r.wrong.Add("quantity", "the length is not given, or out of range", `write it with its unit, such as "2.5 m"`)
		}
		return int64(length)
	}
	if o.Quantity != "" {
		r.wrong.Add("quantity", item.Code+" is counted, not measured", "give the number of pieces as counted")
	}
	if o.Counted < 1 || o.Counted > mostIssued {
		r.wrong.Add("counted", fmt.Sprintf("%d is out of range", o.Counted), fmt.Sprintf("count the pieces, from 1 to %d", mostIssued))
	}
	return o.Counted
}

// issuedFrom finds the place, which may be left out where there is no choice.
func (r *needReader) issuedFrom(ctx context.Context, item models.Item, code string) models.Place {
	if strings.TrimSpace(code) != "" {
		if place := found(ctx, r, "place", "place", code, r.store.PlaceByCode); place != nil {
			return *place
		}
		return models.Place{}
	}
	var only []int64
	if item.ID != 0 {
		r.fail(func() error {
			rows, err := r.store.Balances(ctx, item.ID)
			for _, row := range rows {
				if row.Quantity > 0 {
					only = append(only, row.PlaceID)
				}
			}
			return err
		})
	}
	if len(only) != 1 {
		r.wrong.Add("place", "the place is not given", "choose the place that it is taken from")
		return models.Place{}
	}
	var place models.Place
	r.fail(func() error {
		places, err := r.store.PlacesByID(ctx, only)
		place = places[only[0]]
		return err
	})
	return place
}

func (i issue) write(ctx context.Context, tx *store.Store, act auth.Act, o IssueOrder, book int64) (IssueAnswer, error) {
	found := max(0, i.quantity-book)
	a := IssueAnswer{Item: i.item.Code, Place: i.place.Code, To: i.to, Unit: i.item.CountedIn, Findings: []problem.Finding{}}
	a.Issued, a.Found, a.Balance = i.figure(i.quantity), i.figure(found), i.figure(book+found-i.quantity)
	if found > 0 {
		if err := i.book(ctx, tx, act, "found", beyondBook, found, book); err != nil {
			return a, err
		}
		text := fmt.Sprintf("%s took %g of %s at %s, and the book had %g", act.By.Name, a.Issued, i.item.Code, i.place.Code, i.figure(book))
		a.Findings = append(a.Findings, problem.Finding{Rule: "R39", Severity: problem.Note, Subject: i.item.Code, Text: text, Advice: "the clerk counts what is there"})
		if err := i.task(ctx, tx, auth.Clerk, "count", "item:"+i.item.Code, text+": count what is there"); err != nil {
			return a, err
		}
	}
	return a, i.book(ctx, tx, act, "issue", inOneLine(o.Reasons), -i.quantity, book+found)
}

// issued is a balance as the ledger keeps it.
type issuedState struct {
	Balance int64  `json:"balance"`
	To      string `json:"to,omitempty"`
}

// book changes the balance with its ledger entry.
func (i issue) book(ctx context.Context, tx *store.Store, act auth.Act, kind, reason string, quantity, before int64) error {
	e := i.entry(act, kind, reason)
	e.Subject, e.Place, e.Quantity, e.Unit = "item:"+i.item.Code, i.place.Code, quantity, ledgerUnit(i.item)
	was, err := json.Marshal(issuedState{Balance: before})
	if err != nil {
		return err
	}
	is, err := json.Marshal(issuedState{Balance: before + quantity, To: i.to})
	if err != nil {
		return err
	}
	e.Before, e.After = string(was), string(is)
	return tx.AddBalance(ctx, i.item.ID, i.place.ID, e)
}

// figure is an amount as people say it: pieces, or metres.
func (i issue) figure(quantity int64) float64 { return inUnit(i.item, quantity) }

func inUnit(item models.Item, quantity int64) float64 {
	if item.CountedIn == catalogue.InMetres {
		return unit.Length(quantity).Metres()
	}
	return float64(quantity)
}
