package unit

import (
	"bytes"
	"encoding/json"
	"errors"
)

// Typed is a physical quantity as somebody typed it, with its unit. A bare JSON number is kept as its text, so that the
// parser of the quantity can ask for the unit.
type Typed string

// UnmarshalJSON takes a string, a number or null.
func (t *Typed) UnmarshalJSON(data []byte) error {
	data = bytes.TrimSpace(data)
	if bytes.Equal(data, []byte("null")) {
		*t = ""
		return nil
	}
	var s string
	if json.Unmarshal(data, &s) == nil {
		*t = Typed(s)
		return nil
	}
	var n json.Number
	if json.Unmarshal(data, &n) != nil {
		return errors.New("a quantity is text with its unit")
	}
	*t = Typed(n.String())
	return nil
}
