package stock

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/unit"
)

// dates reads what label and certificate say of when the gas was filled and until when it is good.
func (r *orderReader) dates(o ReceiveOrder, d *delivery) {
	d.filledOn = r.past("filled_on", o.FilledOn)
	d.assayedOn = r.past("assayed_on", o.AssayedOn)
	d.labelOn = r.date("label_expires_on", o.LabelExpiresOn)
	d.paper = r.certificate("certificate.", o.Certificate)
	if d.assayedOn != "" && d.assayedOn < d.filledOn {
		r.wrong.Add("assayed_on", fmt.Sprintf("%s is before the fill on %s", d.assayedOn.Words(), d.filledOn.Words()), "compare both dates with the certificate")
	}
	r.after(d, "label_expires_on", d.labelOn)
	r.months(o, d)
	if d.paper != nil {
		r.after(d, "certificate.expires_on", d.paper.ownDate)
	}
}

// after refuses an expiry that lies before the gas was filled or assayed.
func (r *orderReader) after(d *delivery, field string, expires unit.Date) {
	if start := max(d.filledOn, d.assayedOn); expires != "" && expires < start {
		r.wrong.Add(field, fmt.Sprintf("%s is before %s, when the gas was filled or assayed", expires.Words(), start.Words()), "compare both dates with the document")
	}
}

// months turns "valid 12 months" into a date: of the certificate, or of the label where there is no document.
func (r *orderReader) months(o ReceiveOrder, d *delivery) {
	if o.ValidMonths == nil {
		return
	}
	if *o.ValidMonths < 1 || *o.ValidMonths > mostMonths {
		r.wrong.Add("valid_months", fmt.Sprintf("%d is out of range", *o.ValidMonths), fmt.Sprintf("give a whole number from 1 to %d, or leave it out", mostMonths))
		return
	}
	d.months = int(*o.ValidMonths)
	if d.start(d.paper) == "" {
		r.wrong.Add("valid_months", "the months are counted from no day", "give the day of assay, issue or fill as well")
		return
	}
	printed := d.labelOn
	if d.paper != nil {
		printed = d.paper.ownDate
		d.lasts(d.paper)
	} else {
		d.labelOn = unit.EarlierOf(d.labelOn, d.start(nil).AddMonths(d.months))
	}
	d.compare(printed, d.start(d.paper).AddMonths(d.months))
}

// compare asks where the months of validity end on another day than the date that is printed beside them.
func (d *delivery) compare(printed, counted unit.Date) {
	if printed == "" || printed == counted {
		return
	}
	d.asks = append(d.asks, problem.Finding{
		Rule: "R7", Severity: problem.Ask, Subject: "supplier's expiry",
		Text:   fmt.Sprintf("%s is printed, and %d months from %s end on %s", printed.Words(), d.months, d.start(d.paper).Words(), counted.Words()),
		Advice: fmt.Sprintf("compare both with the document; the earlier, %s, counts", min(printed, counted).Words()),
	})
}

// start is the day from which months of validity count.
func (d *delivery) start(p *paper) unit.Date {
	for _, day := range []unit.Date{d.assayedOn, p.issued(), d.filledOn} {
		if day != "" {
			return day
		}
	}
	return ""
}

func (p *paper) issued() unit.Date {
	if p == nil {
		return ""
	}
	return p.IssuedOn
}

// lasts gives a document its expiry from the months of validity; of two dates the earlier counts.
func (d *delivery) lasts(p *paper) {
	if p != nil && d.months > 0 {
		p.ExpiresOn = unit.EarlierOf(p.ExpiresOn, d.start(p).AddMonths(d.months))
	}
}

// shortDated holds gas that has less life left by the supplier's date than was agreed, or none (R5e).
func (k known) shortDated(u shelf.UseBy) []plannedHold {
	expires := u.SupplierExpiresOn
	left := k.today.DaysUntil(expires)
	hold := plannedHold{rule: "R5e", reason: ShortDated}
	switch {
	case expires == "":
		return nil
	case shelf.Expired(expires, k.today, k.settings.ThroughDay()):
		hold.text = fmt.Sprintf("the supplier's date, %s, has passed already", expires.Words())
	case k.source != nil && int64(left) < k.source.MinimumLifeDays:
		hold.text = fmt.Sprintf("%d days are left by the supplier's date, %s; %d are agreed", left, expires.Words(), k.source.MinimumLifeDays)
	default:
		return nil
	}
	return []plannedHold{hold}
}

// late notes gas that the supplier's date still lets through and the site's own does not.
func (k known) late(u shelf.UseBy) []problem.Finding {
	through := k.settings.ThroughDay()
	if !shelf.Expired(u.ExpiresOn, k.today, through) || shelf.Expired(u.SupplierExpiresOn, k.today, through) {
		return nil
	}
	return []problem.Finding{{
		Rule: "R7", Severity: problem.Note, Subject: "use-by",
		Text:   fmt.Sprintf("the site's use-by, %s, has passed already: %s", u.ExpiresOn.Words(), u.Words),
		Advice: "tell the purchaser; the supplier's date alone does not help here",
	}}
}
