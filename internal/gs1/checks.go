package gs1

import "strings"

// check looks at the content of a part whose characters and length are right already.
type check func(text string) Problem

// checks are what the table of identifiers names.
var checks = map[string]check{
	"mod10":     when(CheckDigit, ValidCheckDigit),
	"pair":      pair,
	"iban":      iban,
	"date":      func(text string) Problem { return dayOf(text, false) },
	"date0":     func(text string) Problem { return dayOf(text, true) },
	"date8":     fullDate,
	"hour":      when(Time, func(text string) bool { return text < "24" }),
	"sixty":     when(Time, func(text string) bool { return text < "60" }),
	"clock":     when(Time, func(text string) bool { return text[:2] < "24" && text[2:] < "60" }),
	"country":   when(Format, oneOf("countries")),
	"processor": when(Format, func(text string) bool { return text == "999" || oneOf("countries")(text) }),
	"letters":   when(Format, oneOf("letters")),
	"currency":  when(Format, oneOf("currencies")),
	"prefix":    prefix,
	"percent":   when(Format, wholeEscapes),
	"latitude":  when(Format, func(text string) bool { return text <= "1800000000" }),
	"longitude": when(Format, func(text string) bool { return text <= "3600000000" }),
	"yesno":     when(Format, func(text string) bool { return text <= "1" }),
	"minus":     when(Format, func(text string) bool { return text == "-" }),
	"medium":    when(Format, func(text string) bool { return "01" <= text && text <= "10" || "80" <= text }),
	"sex":       when(Format, among("0129").has),
	"winding":   when(Format, among("019").has),
	"importer":  when(Format, among(set64).has),
	"package":   when(Format, among(digits+capitals).has),
	"coupon":    when(Format, among(digits).has),
	"lettered":  when(Format, func(text string) bool { return !among(digits).has(text) }),
	"some":      when(Format, func(text string) bool { return strings.Trim(text, "0") != "" }),
	"zero":      when(Format, func(text string) bool { return text == "0" }),
	"natural":   when(Format, func(text string) bool { return text == "0" || text[0] != '0' }),
	"piece":     when(Format, func(text string) bool { return "00" < text[:2] && text[:2] <= text[2:] }),
	"birth":     when(Format, birthInSequence),
	"padded":    when(Charset, paddedAtTheEnd),
}

// when makes a check of a test and of what it means to fail it.
func when(p Problem, passes func(string) bool) check {
	return func(text string) Problem {
		if passes(text) {
			return ""
		}
		return p
	}
}

// shortestPrefix is how few digits a company prefix may have.
const shortestPrefix = 4

// prefix wants the digits of a company prefix in front.
func prefix(text string) Problem {
	switch {
	case len(text) < shortestPrefix:
		return Length
	case !among(digits).has(text[:shortestPrefix]):
		return Format
	}
	return ""
}

// wholeEscapes wants two hexadecimal digits after each percent sign.
func wholeEscapes(text string) bool {
	_, whole := unescape(text)
	return whole
}

// birthInSequence is the place among those born together: 1/2.
func birthInSequence(text string) bool {
	return text[1] == '/' && among(digits).has(text[:1]+text[2:]) && '0' < text[0] && text[0] <= text[2]
}

// paddedAtTheEnd lets the padding of base64 stand nowhere else.
func paddedAtTheEnd(text string) bool {
	bare := strings.TrimRight(text, "=")
	return len(text)-len(bare) <= 2 && !strings.Contains(bare, "=")
}
