package stock

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"spanroom/internal/unit"
	"spanroom/models"
)

// LedgerLine is one entry of the ledger in words, with the figures before and after where they differ.
type LedgerLine struct {
	Seq      int64  `json:"seq"`
	When     string `json:"when"`
	Who      string `json:"who"`
	Kind     string `json:"kind"`
	Subject  string `json:"subject"`
	Text     string `json:"text"`
	Quantity int64  `json:"quantity"`
	Unit     string `json:"unit"`
	Place    string `json:"place"`
	Before   string `json:"before"`
	After    string `json:"after"`
	Reason   string `json:"reason"`
	Struck   bool   `json:"struck"` // reversed, or what reverses
}

// ledgerLines writes entries in words, in their order.
func ledgerLines(entries []models.Entry) []LedgerLine {
	reversed := map[int64]bool{}
	for _, e := range entries {
		if e.Reverses != nil {
			reversed[*e.Reverses] = true
		}
	}
	lines := make([]LedgerLine, len(entries))
	for i, e := range entries {
		before, after := figures(e)
		lines[i] = LedgerLine{
			Seq: e.Seq, When: e.HappenedAt.String(), Who: e.ByName, Kind: e.Kind, Subject: e.Subject, Text: sentence(e), Quantity: e.Quantity,
			Unit: e.Unit, Place: e.Place, Before: before, After: after, Reason: e.Reason, Struck: e.Reverses != nil || reversed[e.Seq],
		}
	}
	return lines
}

// sentence says what an entry is about.
func sentence(e models.Entry) string {
	where, isPerson := strings.CutPrefix(e.Place, "person:")
	switch {
	case e.Kind == "receive" && e.Quantity > 0:
		return "received at " + where
	case e.Unit == "mL" && e.Quantity < 0:
		return fmt.Sprintf("%s: %s of gas", spaced(e.Kind), litres(e.Quantity))
	case e.Unit == "cylinder" && e.Quantity > 0 && isPerson:
		return spaced(e.Kind) + ": with " + where
	case e.Unit == "cylinder" && e.Quantity > 0:
		return spaced(e.Kind) + ": put at " + where
	case e.Unit == "cylinder" && e.Quantity < 0 && isPerson:
		return spaced(e.Kind) + ": no longer with " + where
	case e.Unit == "cylinder" && e.Quantity < 0:
		return spaced(e.Kind) + ": away from " + where
	case e.Kind == "seal":
		return "unopened, and free of the holds of goods in"
	case e.Kind == "reading":
		return "pressure read"
	case e.Kind == "lot":
		return "lot: dates and certificate entered"
	case e.Kind == labelEntry:
		return "label printed again, the older one is void"
	case e.Kind == "certificate":
		return "certificate filed"
	case e.Kind == "hold":
		return "hold placed on " + thing(e.Subject)
	case e.Kind == "release":
		return "hold released on " + thing(e.Subject)
	}
	return spaced(e.Kind)
}

func spaced(kind string) string { return strings.ReplaceAll(kind, "_", " ") }

func litres(millilitres int64) string {
	return fmt.Sprintf("%.2f L", math.Abs(unit.Volume(millilitres).Litres()))
}

// thing says what sort of thing a subject is; which one is told by the page.
func thing(subject string) string {
	kind, name, _ := strings.Cut(subject, ":")
	switch kind {
	case "cylinder":
		return "this cylinder"
	case "lot":
		return "its lot"
	}
	return kind + " " + name
}

// figures gives the pressures of an entry where it changed them.
func figures(e models.Entry) (before, after string) {
	if e.Before == "" || e.After == "" {
		return "", ""
	}
	was, is := pressureIn(e.Before), pressureIn(e.After)
	if was == is {
		return "", ""
	}
	return was, is
}

func pressureIn(state string) string {
	var s struct {
		Pressure *unit.Pressure `json:"pressure_pa"`
		Source   string         `json:"pressure_source"`
	}
	if json.Unmarshal([]byte(state), &s) != nil || s.Pressure == nil || s.Source == Unknown {
		return ""
	}
	return fmt.Sprintf("%.1f bar", s.Pressure.Bar())
}
