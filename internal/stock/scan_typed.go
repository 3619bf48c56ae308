package stock

import (
	"fmt"
	"strings"

	"spanroom/internal/gs1"
	"spanroom/internal/unit"
)

// The date elements that goods in asks for.
const (
	producedElement = "11"
	expiresElement  = "17"
)

// scannedDate reads a date element that was scanned into the field of a date: 17280200 is 29 Feb 2028. Another date of the
// label than the one that is asked for is refused.
func (r *orderReader) scannedDate(field, typed string) unit.Date {
	want, asked := producedElement, "a production date"
	if strings.HasSuffix(field, "expires_on") {
		want, asked = expiresElement, "an expiry"
	}
	day, err := gs1.ReadDate(typed, r.year())
	if element := strings.TrimLeft(typed, " (")[:2]; err == nil && element != want {
		r.wrong.Add(field, fmt.Sprintf("%s begins with %s, and %s begins with %s", strings.TrimSpace(typed), element, asked, want), "scan the other code of the label, or type the date")
		return ""
	}
	r.wrong.Take(field, err)
	return day
}

// labelText reads a text that may come from a scanner. Where it is the code of a whole label, what belongs here is named, and
// nothing of the rest is dropped unseen.
func (r *orderReader) labelText(field, typed string, of func(gs1.Scan) string) string {
	code, is := gs1.Read(typed, r.year())
	if !is {
		return r.text(field, typed, longestName)
	}
	advice := "scan it while no field has the cursor, or type what is printed"
	if alone := of(code); alone != "" {
		advice = fmt.Sprintf("write %q here, or scan it while no field has the cursor", alone)
	}
	r.wrong.Add(field, fmt.Sprintf("%q is a code of the label and not what is printed", clip(strings.ToValidUTF8(typed, "�"))), advice)
	return strings.TrimSpace(typed)
}

func lotOf(code gs1.Scan) string    { return code.Lot }
func serialOf(code gs1.Scan) string { return code.Serial }
