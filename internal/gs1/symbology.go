package gs1

import "strings"

// carriers are the symbologies that carry data of the standard, by the identifier that a scanner puts in front.
var carriers = map[string]func(data string) message{
	"]C1": scanned,    // GS1-128
	"]d2": scanned,    // GS1 DataMatrix
	"]e0": scanned,    // GS1 DataBar
	"]e1": scanned,    // GS1 Composite
	"]e2": scanned,    // GS1 Composite, after an escape
	"]J1": scanned,    // GS1 DotCode
	"]Q3": scanned,    // GS1 QR Code
	"]d1": linked,     // Data Matrix
	"]Q1": linked,     // QR Code
	"]E0": retail(13), // EAN-13, UPC-A, UPC-E
	"]E4": retail(8),  // EAN-8
	"]I1": retail(14), // ITF-14
}

// identifierLength is how long a symbology identifier is.
const identifierLength = 3

// scan reads what a scanner sends that tells the symbology.
func scan(text string) message {
	if len(text) < identifierLength {
		return message{}.failed(Symbology, Element{}, text)
	}
	carrier, known := carriers[text[:identifierLength]]
	if !known {
		return message{}.failed(Symbology, Element{}, text[:identifierLength])
	}
	return carrier(text[identifierLength:])
}

func scanned(data string) message { return elementString(data, separator) }

// linked reads a symbology that belongs to the standard only where it carries a digital link.
func linked(data string) message {
	if !isAddress(data) {
		return message{}.failed(Symbology, Element{}, data)
	}
	return digitalLink(data)
}

const (
	gtinLength = 14
	composite  = "]e0"
)

// retail reads the bare digits of an item, to which a composite symbol adds elements in a message of its own.
func retail(length int) func(string) message {
	return func(data string) message {
		code, added, more := strings.Cut(data, composite)
		code = strings.TrimSuffix(code, "|")
		item := Element{"01", code}
		switch {
		case len(code) != length:
			return message{}.failed(Length, item, code)
		case !among(digits).has(code):
			return message{}.failed(Charset, item, code)
		}
		item.Value = padded(code)
		m := message{separated: true}
		if more {
			m = scanned(added)
			if !m.readable() {
				return m
			}
		}
		return message{elements: append([]Element{item}, m.elements...), separated: m.separated}.checked()
	}
}

// padded gives an item number its 14 digits.
func padded(gtin string) string { return strings.Repeat("0", max(0, gtinLength-len(gtin))) + gtin }
