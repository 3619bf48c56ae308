package stock

import (
	"cmp"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"spanroom/internal/unit"
	"spanroom/models"
)

// doings says in words what the kinds of entry are.
var doings = map[string]string{
	"receive": "received", "check_out": "taken", "return": "brought back", "move": "moved", "use": "gas used", "issue": "handed out",
	"found": "found beyond the book", "reading": "pressure read", "seal": "now counts as unopened", "lot": "lot entered",
	"certificate": "certificate filed", labelEntry: "label printed again", "hold": "put on hold", "release": "hold released", "task": "job done",
}

// doing says what an entry tells.
func doing(e models.Entry) string {
	switch {
	case e.Kind == "catalogue" && e.Before == "":
		return "entered in the catalogue"
	case e.Kind == "catalogue":
		return "changed in the catalogue"
	case e.Kind == "people":
		return ofPerson(e.After)
	}
	return cmp.Or(doings[e.Kind], spaced(e.Kind))
}

// ofPerson says what happened to somebody's way in; package auth writes these entries.
func ofPerson(after string) string {
	var is struct {
		Role     string
		Password any // true for one that was added with the person, else "changed" or "revoked"
		Token    string
	}
	if json.Unmarshal([]byte(after), &is) != nil {
		return "sign-in changed"
	}
	switch {
	case is.Password == "revoked":
		return "shut out"
	case is.Password == "changed":
		return "password changed"
	case is.Token != "":
		return "token added for the role " + is.Role
	case is.Role != "":
		return "added as " + is.Role
	}
	return "tokens revoked"
}

// whereOf says where the one entry of a deed happened: out of a place, into it, or at it.
func whereOf(e models.Entry) string {
	at := placeName(e.Place)
	switch {
	case at == "":
		return ""
	case e.Quantity < 0:
		return strings.TrimSuffix("from "+at+" to "+handedTo(e), " to ")
	case e.Quantity > 0:
		return "to " + at
	}
	return "at " + at
}

// handedTo is who or what a consumable went to, "" where the entry does not say.
func handedTo(e models.Entry) string {
	var is issuedState
	if e.Kind != "issue" || json.Unmarshal([]byte(e.After), &is) != nil {
		return ""
	}
	return is.To
}

func placeName(place string) string { return strings.TrimPrefix(place, "person:") }

// amountOf says how much an entry books; one cylinder is not worth saying.
func amountOf(e models.Entry) string {
	n := max(e.Quantity, -e.Quantity)
	switch {
	case n == 0 || e.Unit == "cylinder":
		return ""
	case e.Unit == "mL":
		return litres(n) + " of gas"
	case e.Unit == "mm":
		return strconv.FormatFloat(unit.Length(n).Metres(), 'f', -1, 64) + " m"
	case e.Unit == "each" && n == 1:
		return "1 piece"
	case e.Unit == "each":
		return fmt.Sprintf("%d pieces", n)
	}
	return fmt.Sprintf("%d %s", n, e.Unit)
}
