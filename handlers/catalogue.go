package handlers

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// listing is a page of rows and where to go on.
type listing struct {
	Rows []catalogue.Order `json:"rows"`
	Next string            `json:"next"`
}

// nounPage is what the pages of a noun show beside the things themselves.
type nounPage struct {
	Noun    catalogue.Noun
	Code    string // "" for a new thing
	Edits   bool   // the person may write this noun
	Rows    []map[string]string
	Next    string
	Values  map[string]string // the fields of the thing by their dotted names
	Choices map[string][]catalogue.Choice
	Past    []catalogue.Past
	Piece   *stock.EquipmentRow // what check-outs say of a piece of equipment
	Old     *catalogue.Past     // the version that is shown, where it was asked for
}

// Title is the heading of the page.
func (p nounPage) Title() string {
	title := titleOfThing(p.Noun, p.Code)
	if p.Old != nil {
		title += fmt.Sprintf(", version %d", p.Old.Version)
	}
	return title
}

// titleOfThing names a thing of the catalogue; the settings are the only ones of their sort.
func titleOfThing(n catalogue.Noun, code string) string {
	if code == "" || n.Name == catalogue.SettingsNoun().Name {
		return n.Title
	}
	return n.Title + ": " + code
}

// Path is the address of the thing.
func (p nounPage) Path() string { return pathOfThing(p.Noun, p.Code) }

func pathOfThing(n catalogue.Noun, code string) string {
	if n.Name == catalogue.SettingsNoun().Name {
		return "/" + n.Plural
	}
	return "/" + n.Plural + "/" + url.PathEscape(code)
}

// spareRows are the empty lines that a form offers below those that are filled in, for whoever works without scripts.
const spareRows = 2

// Filled numbers the lines that a repeated part of the thing has.
func (p nounPage) Filled(name string) []int {
	n, _ := strconv.Atoi(p.Values[name+".count"]) // absent for a new thing
	rows := make([]int, n)
	for i := range rows {
		rows[i] = i
	}
	return rows
}

// RowsOf counts the lines that a repeated part of the form shows.
func (p nounPage) RowsOf(name string) int { return len(p.Filled(name)) + spareRows }

// FieldName is the dotted name of a field in a line; a line of one field has no name of its own.
func (p nounPage) FieldName(list string, row any, name string) string {
	line := fmt.Sprintf("%s.%v", list, row)
	if name == "" {
		return line
	}
	return line + "." + name
}

// cataloguePages lists the nouns for people.
func (a *app) cataloguePages(c *fiber.Ctx) error {
	return a.render(c, fiber.StatusOK, "catalogue", catalogue.Nouns(), nil)
}

func (a *app) listNoun(n catalogue.Noun) fiber.Handler {
	return func(c *fiber.Ctx) error {
		limit, err := queryLimit(c)
		if err != nil {
			return err
		}
		rows, next, err := a.Catalogue.List(c.UserContext(), n, queryText(c, "after"), limit)
		if err != nil {
			return err
		}
		if isAPI(c) {
			return c.JSON(listing{rows, next})
		}
		page := nounPage{Noun: n, Next: next, Edits: auth.Can(personOf(c).Role, n.Deed)}
		for _, row := range rows {
			flat, err := flatten(n, row)
			if err != nil {
				return err
			}
			page.Rows = append(page.Rows, flat)
		}
		return a.show(c, "catalogue_list", page, nil)
	}
}

func (a *app) getNoun(n catalogue.Noun) fiber.Handler {
	return func(c *fiber.Ctx) error {
		if c.Query("version") != "" {
			return a.getVersion(c, n)
		}
		if !isAPI(c) {
			return a.blankForm(a.nounForm(n))(c)
		}
		order, err := a.Catalogue.Get(c.UserContext(), n, codeOf(c, n))
		return a.show(c, "", order, err)
	}
}

// makeNoun adds a thing; changeNoun replaces one as a whole.
func (a *app) makeNoun(n catalogue.Noun) fiber.Handler {
	return func(c *fiber.Ctx) error {
		order := n.New()
		if showsOnly(c) {
			return a.answerNoun(c, n, order, waited)
		}
		err := bind(c, order)
		if err == nil {
			order, err = a.Catalogue.Make(c.UserContext(), actOf(c), order)
		}
		return a.answerNoun(c, n, order, err)
	}
}

func (a *app) changeNoun(n catalogue.Noun) fiber.Handler {
	return func(c *fiber.Ctx) error {
		if showsOnly(c) {
			return a.answerNoun(c, n, nil, waited)
		}
		order, err := a.Catalogue.Blank(c.UserContext(), n)
		if err != nil {
			return err
		}
		if err = bind(c, order); err == nil {
			order, err = a.Catalogue.Change(c.UserContext(), actOf(c), codeOf(c, n), order)
		}
		return a.answerNoun(c, n, order, err)
	}
}

func (a *app) answerNoun(c *fiber.Ctx, n catalogue.Noun, order catalogue.Order, err error) error {
	if err != nil {
		return a.again(c, a.nounForm(n), err)
	}
	to := "/" + n.Plural + "?done=" + escape("Saved.")
	if n.Plural == catalogue.SettingsNoun().Plural {
		to = "/settings?done=" + escape("Saved.")
	}
	return done(c, to, order)
}

// nounForm is the one form page of all nouns: empty, or with the thing as it is.
func (a *app) nounForm(n catalogue.Noun) form {
	return func(c *fiber.Ctx) (string, any, error) {
		page := nounPage{Noun: n, Code: codeOf(c, n), Edits: auth.Can(personOf(c).Role, n.Deed), Values: map[string]string{}, Choices: map[string][]catalogue.Choice{}}
		if err := a.loadThing(c, n, &page); err != nil {
			return "", nil, err
		}
		for _, f := range n.Form {
			for _, g := range append([]catalogue.FormField{f}, f.Rows...) {
				if err := a.loadChoices(c, g.Choices, page.Choices); err != nil {
					return "", nil, err
				}
			}
		}
		return "catalogue_form", page, nil
	}
}

func (a *app) loadThing(c *fiber.Ctx, n catalogue.Noun, page *nounPage) error {
	if page.Code == "" {
		return nil
	}
	order, err := a.Catalogue.Get(c.UserContext(), n, page.Code)
	if err != nil {
		return err
	}
	if page.Values, err = flatten(n, order); err != nil {
		return err
	}
	if slices.Contains(stock.EquipmentKinds(), n.Name) {
		if err := a.loadPiece(c, n, page); err != nil {
			return err
		}
	}
	page.Past, err = a.Catalogue.History(c.UserContext(), n, page.Code)
	if problem.KindOf(err) == problem.Missing { // settings that nobody has changed yet
		return nil
	}
	return err
}

func (a *app) loadPiece(c *fiber.Ctx, n catalogue.Noun, page *nounPage) error {
	found, err := a.Stock.Equipment(c.UserContext(), stock.EquipmentQuestion{Kind: n.Name, Code: page.Code})
	for _, row := range found.Rows {
		page.Piece = &row
	}
	return err
}

func (a *app) loadChoices(c *fiber.Ctx, noun string, into map[string][]catalogue.Choice) error {
	if noun == "" || into[noun] != nil {
		return nil
	}
	for _, n := range catalogue.Nouns() {
		if n.Name == noun {
			choices, err := a.Catalogue.Choices(c.UserContext(), n)
			into[noun] = choices
			return err
		}
	}
	return nil
}

// codeOf is the code in the address; settings have but one.
func codeOf(c *fiber.Ctx, n catalogue.Noun) string {
	if n.Name == catalogue.SettingsNoun().Name {
		return catalogue.Site
	}
	return c.Params("code")
}

// flatten gives the scalars of a thing by their dotted names, as its form names them. A list of words is one text as well, and what
// nobody has filled in is empty.
func flatten(n catalogue.Noun, order catalogue.Order) (map[string]string, error) {
	raw, err := json.Marshal(order)
	if err != nil {
		return nil, err
	}
	var tree any
	if err := json.Unmarshal(raw, &tree); err != nil {
		return nil, err
	}
	flat := map[string]string{}
	spread("", tree, flat)
	for _, f := range n.Form {
		if flat[f.Name] == f.Unset {
			flat[f.Name] = ""
		}
	}
	return flat, nil
}

func spread(name string, node any, flat map[string]string) {
	switch n := node.(type) {
	case map[string]any:
		for key, sub := range n {
			spread(dotted(name, key), sub, flat)
		}
	case []any:
		var words []string
		for i, sub := range n {
			spread(dotted(name, strconv.Itoa(i)), sub, flat)
			if word, is := sub.(string); is {
				words = append(words, word)
			}
		}
		flat[name], flat[name+".count"] = strings.Join(words, ", "), strconv.Itoa(len(n))
	case string:
		flat[name] = n
	case bool:
		flat[name] = strconv.FormatBool(n)
	case float64:
		flat[name] = strconv.FormatFloat(n, 'f', -1, 64)
	}
}

// queryLimit reads how many rows a list shall have; 0 leaves it to the room.
func queryLimit(c *fiber.Ctx) (int, error) {
	text := c.Query("limit")
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 500 {
		return 0, badQuery("limit", "it must be a whole number from 1 to 500")
	}
	return n, nil
}

func badQuery(name, text string) error {
	var wrong problem.Fields
	wrong.Add(name, text, "correct it in the address")
	return wrong.Err()
}
