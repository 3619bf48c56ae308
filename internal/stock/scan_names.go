package stock

import (
	"context"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// meanings lists everything that has a text for its name: a lot, a serial, and what goes by a code.
func (s scanning) meanings(ctx context.Context, text string) ([]Meaning, error) {
	key := unit.Fold(text)
	if key == "" {
		return nil, nil
	}
	var all []Meaning
	lots, err := s.store.LotsOfKey(ctx, key)
	if err != nil {
		return nil, err
	}
	if len(lots) > 0 {
		all = append(all, ofLots(lots))
	}
	cylinders, err := s.store.CylindersOfSerial(ctx, key)
	if err != nil {
		return nil, err
	}
	if len(cylinders) > 0 {
		all = append(all, ofSerial(key, cylinders))
	}
	codes, err := s.codes(ctx, text)
	for _, c := range codes {
		all = append(all, s.ofCode(c))
	}
	return all, err
}

// codes lists what goes by a text as its code, or as the GTIN under its bar code.
func (s scanning) codes(ctx context.Context, text string) ([]store.Coded, error) {
	codes, err := s.store.CodesAlike(ctx, coded, unit.Fold(text))
	if err != nil || !gtin.MatchString(text) {
		return exactly(codes, text), err
	}
	articles, err := s.store.ArticlesOfGTIN(ctx, strings.Repeat("0", longGTIN-len(text))+text)
	for _, a := range articles {
		if !slices.ContainsFunc(codes, func(c store.Coded) bool { return c.Noun == "item" && c.Code == a.Item }) {
			codes = append(codes, store.Coded{Noun: "item", Code: a.Item})
		}
	}
	return codes, err
}

const longGTIN = 14

var gtin = regexp.MustCompile(`^(\d{8}|\d{12,14})$`)

// exactly leaves out the codes in another case where one is written as the text is.
func exactly(codes []store.Coded, text string) []store.Coded {
	other := func(c store.Coded) bool { return c.Code != text }
	if slices.ContainsFunc(codes, func(c store.Coded) bool { return !other(c) }) {
		return slices.DeleteFunc(codes, other)
	}
	return codes
}

// ofLots is one lot, or those of several suppliers with the same text: the list shows them beside each other.
func ofLots(lots []store.LotOf) Meaning {
	names := make([]string, len(lots))
	for i, l := range lots {
		names[i] = l.SupplierName
	}
	return Meaning{Kind: ScanLot, Code: lots[0].Lot, Words: fmt.Sprintf("lot %s of %s", lots[0].Lot, list(names)), URL: searchFor(lots[0].Lot)}
}

// ofSerial is the one cylinder with a serial, or the list of those that have it.
func ofSerial(serial string, cylinders []store.SerialOf) Meaning {
	if len(cylinders) > 1 {
		return Meaning{Kind: ScanSerial, Code: serial, Words: fmt.Sprintf("serial %s of %d cylinders", serial, len(cylinders)), URL: searchFor(serial)}
	}
	tag := cylinders[0].Tag
	return Meaning{Kind: ScanSerial, Code: serial, Tag: tag, Words: fmt.Sprintf("serial %s of cylinder %s", serial, tag), URL: "/cylinders/" + string(tag)}
}

// ofCode is a thing of the catalogue. A place leads to what stands there, and a round to the cylinder for it.
func (s scanning) ofCode(c store.Coded) Meaning {
	m := Meaning{Kind: c.Noun, Code: c.Code, Words: c.Noun + " " + c.Code, URL: "/" + c.Noun + "s/" + url.PathEscape(c.Code)}
	if c.Name != "" && c.Name != c.Code {
		m.Words += ", " + c.Name
	}
	switch {
	case c.Noun == "place":
		m.URL = "/cylinders?place=" + url.QueryEscape(c.Code)
	case c.Noun == "round" && auth.Can(s.by.Role, auth.Take):
		m.URL = "/checkouts/new?round=" + url.QueryEscape(c.Code)
	}
	return m
}
