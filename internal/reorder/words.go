package reorder

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spanroom/internal/problem"
)

// figure writes a number with one decimal, and with none where it is whole.
func figure(f float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(math.Round(f*10)/10, 'f', 1, 64), ".0")
}

func weeks(days float64) string {
	if n := figure(days / 7); n != "1" {
		return n + " weeks"
	}
	return "1 week"
}

// count writes a number of the item's units.
func (q Question) count(n float64) string {
	switch {
	case q.Unit == "each" || q.Unit == "":
		return figure(n)
	case q.Unit == "m" || figure(n) == "1":
		return figure(n) + " " + q.Unit
	default:
		return figure(n) + " " + q.Unit + "s"
	}
}

// usable writes the position and why it is less than what stands on the shelf.
func (p planning) usable(line Line) string {
	text := figure(line.Usable) + " usable" + p.expiring(line)
	if line.OnOrder > 0 {
		text += " with " + figure(line.OnOrder) + " on order"
	}
	return text
}

func (p planning) expiring(line Line) string {
	if line.WillExpire < 0.05 {
		return ""
	}
	return fmt.Sprintf(" (%s of %s expire unused)", figure(line.WillExpire), figure(line.OnHand))
}

func (p planning) lasting() string {
	switch {
	case p.dry <= tiny:
		return "there is no usable stock"
	case p.dry > farthest:
		return "usable stock lasts for more than two years"
	default:
		return fmt.Sprintf("usable stock lasts %s, until %s", weeks(p.dry), p.lastsUntil().Words())
	}
}

// notes are what the purchaser should know beside the line itself.
func (p planning) notes(line Line) []problem.Finding {
	var out []problem.Finding
	for _, l := range p.counted {
		if l.ExpiresOn != "" && l.ExpiresOn < p.Today {
			out = append(out, p.note("R45", fmt.Sprintf("%s of lot %s on the shelf are past their use-by of %s", figure(l.Units), l.Lot, l.ExpiresOn.Words()), "take them off the shelf"))
		}
	}
	for _, a := range p.OnOrder {
		if a.On < p.Today {
			out = append(out, p.note("R45", fmt.Sprintf("order %s was due on %s and is counted as if it came today", a.Order, a.On.Words()), "ask the supplier for its date"))
		}
	}
	for _, h := range line.Held {
		out = append(out, p.note("R45", h.Text, p.chase(h, line)))
	}
	if line.OrderBy == p.Today && p.dry < float64(p.LeadDays) {
		out = append(out, p.note("R46", fmt.Sprintf("an order of today arrives about %s; %s", line.NeededBy.Words(), p.lasting()), "ask for an earlier delivery or another store's stock"))
	}
	if p.Supplier != "" && p.Price.Minor == 0 {
		out = append(out, p.note("R48", "no price is known, so no cost is shown", "enter the supplier's price"))
	}
	if p.Supplier != "" && p.MinimumLifeDays == 0 && p.perishes() {
		out = append(out, p.note("R47", "no minimum life on arrival is agreed, so the quantity is not capped", "agree one with the supplier"))
	}
	return out
}

func (p planning) perishes() bool {
	for _, l := range p.Lots {
		if l.ExpiresOn != "" {
			return true
		}
	}
	return false
}
