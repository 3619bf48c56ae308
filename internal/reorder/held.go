package reorder

import "strings"

const certificateMissing = "certificate missing"

// OutLate is the word for stock that somebody has had for too long; it is held back like a hold.
const OutLate = "Out late"

// released says what lifts a hold, by its reason in plain letters.
var released = map[string]string{
	certificateMissing: "certificate arrives",
	"short dated":      "the short life is accepted",
	"undated":          "a date is found",
	plainHold(OutLate): "what is out late comes back",
}

// settling says what to do about a hold; of the others, to settle them.
var settling = map[string]string{
	certificateMissing: "chase the certificate",
	plainHold(OutLate): "ask for it back",
}

// held sums up the held stock that is still in date, a line a reason.
func (p planning) held() []Held {
	var out []Held
	for _, l := range p.Lots {
		if !l.Held || l.Units == 0 || l.ExpiresOn != "" && l.ExpiresOn < p.Today {
			continue
		}
		at := len(out)
		for i := range out {
			if plainHold(out[i].Hold) == plainHold(l.Hold) {
				at = i
			}
		}
		if at == len(out) {
			out = append(out, Held{Hold: l.Hold})
		}
		out[at].Units += l.Units
	}
	for i := range out {
		out[i].Text = figure(out[i].Units) + " more if " + lifts(out[i].Hold)
	}
	return out
}

func lifts(hold string) string {
	if text, known := released[plainHold(hold)]; known {
		return text
	}
	return strings.Join(strings.Fields("the hold "+hold+" is released"), " ")
}

// plainHold makes "Certificate missing", "certificate_missing" and "certificate-missing" the same.
func plainHold(hold string) string {
	return strings.TrimSpace(strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(hold)))
}

// chase advises on a hold; where the held stock would make the order of today unnecessary, that comes first.
func (p planning) chase(h Held, line Line) string {
	advice, known := settling[plainHold(h.Hold)]
	if !known {
		advice = "settle the hold"
	}
	if line.OrderBy != p.Today {
		return advice
	}
	stock := append([]batch(nil), p.batches...)
	for _, l := range p.Lots {
		if l.Held && plainHold(l.Hold) == plainHold(h.Hold) {
			stock = append(stock, l.batch(p.Today))
		}
	}
	if position(stock, p.perDay, 0, float64(p.LeadDays+p.ReviewDays)) >= line.Level-tiny {
		return advice + " before ordering: with it no order is due today"
	}
	return advice
}
