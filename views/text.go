package views

import (
	"fmt"
	"reflect"
	"strings"
)

// plain follows pointers and interfaces to the value itself; nothing gives the zero reflect.Value.
func plain(v any) reflect.Value {
	r := reflect.ValueOf(v)
	for r.Kind() == reflect.Pointer || r.Kind() == reflect.Interface {
		r = r.Elem()
	}
	return r
}

// text gives any value as its plain text: named strings as they stand, nil as "".
func text(v any) string {
	r := plain(v)
	if !r.IsValid() {
		return ""
	}
	if r.Kind() == reflect.String {
		return r.String()
	}
	return fmt.Sprint(r.Interface())
}

// plural counts things: "1 pack", "6 packs"; a third word serves where an s does not, as in plural 2 "entry" "entries".
func plural(n, one any, many ...any) string {
	count, _ := number(n)
	word := text(one) + "s"
	if len(many) > 0 {
		word = text(many[0])
	}
	if count == 1 {
		word = text(one)
	}
	return num(0, count) + " " + word
}

// about says an estimate with its low end: "about 66 bumps (at least 58)". An estimate never goes without it.
func about(expected, low, one any, many ...any) string {
	return fmt.Sprintf("about %s (at least %s)", plural(expected, one, many...), num(0, low))
}

// limit says in words what limits a use-by, from its term and the components that cause it.
func limit(term, components any) string {
	named := strings.Join(texts(components), ", ")
	switch text(term) {
	case "component":
		return strings.TrimPrefix(named+": site cap", ": ")
	case "opened":
		return strings.TrimPrefix(named+": cap once opened", ": ")
	case "certificate":
		return "the certificate's date"
	case "label":
		return "the date on the label"
	case "store":
		return "the store's own cap"
	default:
		return ""
	}
}

// texts gives a list of any kind as texts; one value that is no list gives a list of one.
func texts(v any) []string {
	r := plain(v)
	switch {
	case !r.IsValid():
		return nil
	case r.Kind() != reflect.Slice && r.Kind() != reflect.Array:
		if text(v) == "" {
			return nil
		}
		return []string{text(v)}
	}
	list := make([]string, r.Len())
	for i := range list {
		list[i] = text(r.Index(i).Interface())
	}
	return list
}
