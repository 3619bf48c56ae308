package handlers

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"mime"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// read makes an order from a request.
func read[T any](c *fiber.Ctx) (T, error) {
	var order T
	err := bind(c, &order)
	return order, err
}

// bind fills an order, by its pointer, from JSON or from a form with the same dotted names. What is wrong is told field by
// field; what the request leaves out stays as it is.
func bind(c *fiber.Ctx, order any) error {
	tree, err := parse(c)
	if err != nil {
		return err
	}
	b := binder{lax: isForm(c)}
	b.value("", tree, reflect.ValueOf(order).Elem())
	return b.wrong.Err()
}

func isForm(c *fiber.Ctx) bool {
	kind := bodyKind(c)
	return kind == fiber.MIMEApplicationForm || kind == fiber.MIMEMultipartForm
}

// bodyKind is what the sender says that the body is; "" where it says nothing that can be read.
func bodyKind(c *fiber.Ctx) string {
	kind, _, err := mime.ParseMediaType(c.Get(fiber.HeaderContentType))
	if err != nil {
		return ""
	}
	return kind
}

// parse reads the body into maps, lists and scalars.
func parse(c *fiber.Ctx) (any, error) {
	if isForm(c) {
		if _, err := parts(c); err != nil {
			return nil, err
		}
		return formTree(typed(c))
	}
	body := bytes.TrimSpace(c.Body())
	if len(body) == 0 {
		return map[string]any{}, nil
	}
	if bodyKind(c) != fiber.MIMEApplicationJSON {
		return nil, problem.New(problem.Malformed, "the body is not JSON", "send it with Content-Type: application/json")
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.UseNumber()
	var tree any
	if err := dec.Decode(&tree); err != nil {
		return nil, problem.New(problem.Malformed, "the JSON cannot be read: "+err.Error(), "correct it and send it again")
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, problem.New(problem.Malformed, "there is something after the JSON", "send one object")
	}
	if _, ok := tree.(map[string]any); !ok {
		return nil, problem.New(problem.Malformed, "the JSON is not an object", "send one object, in braces")
	}
	return tree, nil
}

// What one order may be at most: its lists and maps, its texts, and how many of its faults are told at once.
const (
	mostRows    = 1000
	longestText = 4000
	mostWrong   = 100
)

// binder walks a tree and an order side by side. Lax is for forms, where everything is text.
type binder struct {
	lax   bool
	wrong problem.Fields
}

// refuse notes a wrong field, as long as somebody may still read it.
func (b *binder) refuse(name, text, advice string) {
	if len(b.wrong) < mostWrong {
		b.wrong.Add(name, text, advice)
	}
}

var typedKind = reflect.TypeFor[unit.Typed]()

func (b *binder) value(name string, node any, v reflect.Value) {
	if node == nil {
		return
	}
	if v.Type() == typedKind {
		b.quantity(name, node, v)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		b.pointer(name, node, v)
	case reflect.Struct:
		b.object(name, node, v)
	case reflect.Slice:
		b.list(name, node, v)
	case reflect.Map:
		b.texts(name, node, v)
	case reflect.String:
		b.text(name, node, v)
	case reflect.Bool:
		b.truth(name, node, v)
	case reflect.Int, reflect.Int64:
		b.whole(name, node, v)
	case reflect.Float64:
		b.number(name, node, v)
	case reflect.Interface:
		v.Set(reflect.ValueOf(node))
	default:
		panic("handlers: an order has a field of kind " + v.Kind().String())
	}
}

func (b *binder) pointer(name string, node any, v reflect.Value) {
	if b.lax && blank(node) {
		return
	}
	v.Set(reflect.New(v.Type().Elem()))
	b.value(name, node, v.Elem())
}

func (b *binder) object(name string, node any, v reflect.Value) {
	tree, ok := node.(map[string]any)
	if !ok {
		b.refuse(name, "it must be an object", "put its fields in braces")
		return
	}
	known := map[string]bool{}
	b.fields(name, tree, v, known)
	for _, key := range sortedKeys(tree) {
		if !known[key] {
			b.refuse(dotted(name, key), "there is no such field", "check its name, or leave it out")
		}
	}
}

func (b *binder) fields(name string, tree map[string]any, v reflect.Value, known map[string]bool) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && key == "":
			b.fields(name, tree, v.Field(i), known)
		case key != "" && key != "-":
			known[key] = true
			b.value(dotted(name, key), tree[key], v.Field(i))
		}
	}
}

func (b *binder) list(name string, node any, v reflect.Value) {
	items, names, ok := b.items(node, v.Type().Elem().Kind() == reflect.String)
	if !ok {
		b.refuse(name, "it must be a list", "put its entries in square brackets")
		return
	}
	if b.tooMany(name, len(items)) {
		return
	}
	v.Set(reflect.MakeSlice(v.Type(), len(items), len(items)))
	for i, item := range items {
		b.value(dotted(name, names[i]), item, v.Index(i))
	}
}

// items gives the entries of a list with their names. In a form rows are numbered fields, of which blank ones at the end do
// not count, and a list of words is one text with commas or lines between.
func (b *binder) items(node any, words bool) (items []any, names []string, ok bool) {
	switch n := node.(type) {
	case []any:
		items = n
	case string:
		if !b.lax || !words {
			return nil, nil, b.lax && strings.TrimSpace(n) == ""
		}
		for _, word := range strings.FieldsFunc(n, func(r rune) bool { return r == ',' || r == '\n' || r == ';' }) {
			if word = strings.TrimSpace(word); word != "" {
				items = append(items, word)
			}
		}
	case map[string]any:
		if items, ok = numbered(n); !b.lax || !ok {
			return nil, nil, false
		}
	default:
		return nil, nil, false
	}
	for i := range items {
		names = append(names, strconv.Itoa(i))
	}
	return items, names, true
}

// texts fills a map of texts, such as the reasons by rule.
func (b *binder) texts(name string, node any, v reflect.Value) {
	tree, ok := node.(map[string]any)
	if !ok {
		if !b.lax || !blank(node) {
			b.refuse(name, "it must be an object", "put its fields in braces")
		}
		return
	}
	if b.tooMany(name, len(tree)) {
		return
	}
	v.Set(reflect.MakeMap(v.Type()))
	for _, key := range sortedKeys(tree) {
		if !b.clean(name, key) {
			return
		}
		item := reflect.New(v.Type().Elem()).Elem()
		b.value(dotted(name, key), tree[key], item)
		v.SetMapIndex(reflect.ValueOf(key).Convert(v.Type().Key()), item)
	}
}

func (b *binder) text(name string, node any, v reflect.Value) {
	s, ok := node.(string)
	if !ok {
		b.refuse(name, "it must be text", "put it in quotes")
		return
	}
	if !b.clean(name, s) {
		return
	}
	if b.lax {
		s = strings.ReplaceAll(strings.TrimSpace(s), "\r\n", "\n")
	}
	v.SetString(s)
}

func (b *binder) quantity(name string, node any, v reflect.Value) {
	switch n := node.(type) {
	case string:
		if b.clean(name, n) {
			v.SetString(strings.TrimSpace(n))
		}
	case json.Number:
		v.SetString(n.String())
	default:
		b.refuse(name, "it must be text with its unit", `write it like "69 bar"`)
	}
}

// tooMany refuses a list or a map that nobody can have written by hand.
func (b *binder) tooMany(name string, entries int) bool {
	if entries <= mostRows {
		return false
	}
	b.refuse(name, "it has more than "+strconv.Itoa(mostRows)+" entries", "send it in parts")
	return true
}

// clean refuses what no database column or page should have to hold.
func (b *binder) clean(name, s string) bool {
	switch {
	case len(s) > longestText:
		b.refuse(name, "it is too long", "keep it under "+strconv.Itoa(longestText)+" characters")
	case !utf8.ValidString(s), strings.ContainsFunc(s, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' && r != '\r' && r != 0x1d }):
		b.refuse(name, "it has characters that are not text", "type it again by hand")
	default:
		return true
	}
	return false
}

func (b *binder) truth(name string, node any, v reflect.Value) {
	switch n := node.(type) {
	case bool:
		v.SetBool(n)
		return
	case string:
		yes := slices.Contains([]string{"on", "true", "yes", "1"}, n)
		if b.lax && (yes || slices.Contains([]string{"", "off", "false", "no", "0"}, n)) {
			v.SetBool(yes)
			return
		}
	}
	b.refuse(name, "it must be true or false", "write true or false, without quotes")
}

func (b *binder) whole(name string, node any, v reflect.Value) {
	s, ok := b.figure(name, node)
	if !ok {
		return
	}
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || v.OverflowInt(n) || n > 1e12 || n < -1e12 {
		b.refuse(name, "it must be a whole number of a sensible size", "write digits only, such as 8")
		return
	}
	v.SetInt(n)
}

func (b *binder) number(name string, node any, v reflect.Value) {
	s, ok := b.figure(name, node)
	if !ok {
		return
	}
	n, err := strconv.ParseFloat(s, 64)
	if err != nil || n > 1e15 || n < -1e15 || n != n {
		b.refuse(name, "it must be a number of a sensible size", "write it like 2.5")
		return
	}
	v.SetFloat(n)
}

// figure gives the text of a number; nothing for an empty field of a form.
func (b *binder) figure(name string, node any) (string, bool) {
	switch n := node.(type) {
	case json.Number:
		return n.String(), true
	case string:
		if b.lax {
			n, err := unit.Decimal(n)
			return n, b.wrong.Take(name, err) && n != ""
		}
	}
	b.refuse(name, "it must be a number", "write it without quotes")
	return "", false
}

func sortedKeys(tree map[string]any) []string { return slices.Sorted(maps.Keys(tree)) }

func dotted(prefix, name string) string {
	if prefix == "" {
		return name
	}
	return prefix + "." + name
}
