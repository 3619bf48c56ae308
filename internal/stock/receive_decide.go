package stock

import (
	"fmt"
	"slices"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// known is what the store knows before a delivery comes in, as far as the rules ask for it.
type known struct {
	moment
	parts    []store.BlendComponent
	lots     []models.Lot                 // of the same supplier
	blends   map[int64]string             // codes
	document *certificate                 // of the lot that the delivery joins, or nil
	standing []models.Hold                // on that lot
	serials  map[string][]models.Cylinder // every fill that a serial was seen on
	source   *store.SourceOf              // of the item from this supplier, or nil
	places   []models.Place               // all of them
	stands   map[int64]int64              // cylinders at each place
	fleet    []fit.Instruments            // every instrument of the site that is in service
}

// plannedHold is a hold that a check of goods in leads to.
type plannedHold struct{ rule, reason, text string }

// plannedCylinder is one arrival with the holds of its own.
type plannedCylinder struct {
	arrival
	holds []plannedHold
}

// plan is what the rules make of a delivery.
type plan struct {
	delivery  delivery
	findings  []problem.Finding
	lot       models.Lot // the new one, or the known one with what this delivery adds to it
	joins     bool
	adopts    bool          // the document of the delivery becomes the lot's
	holds     []plannedHold // on the lot
	cylinders []plannedCylinder
}

// decide holds a delivery against the rules of goods in: what stops it, what asks, and which holds it comes in with (R2 to R7, R42).
func (k known) decide(d delivery) plan {
	p := plan{delivery: d}
	p.say(k.identify(&p)...)
	p.say(k.shells(d)...)
	if !d.opened() { // what stood here already was neither noted nor bought now
		p.say(counted(int64(len(d.cylinders)), d.noted, "cylinder", d.order)...)
		p.say(k.bought(d)...)
	}
	p.say(k.room(d)...)
	p.say(d.asks...)
	k.documents(&p)
	for i := range p.cylinders {
		c := &p.cylinders[i]
		p.say(k.pressure(d.item, c.arrival)...)
		c.holds = append(c.holds, k.low(d.item, c.arrival)...)
		c.holds = append(c.holds, c.checks.holds(c.opened)...)
	}
	p.tellHolds()
	problem.Sort(p.findings)
	return p
}

// say adds findings, each once: many cylinders have the same to say.
func (p *plan) say(found ...problem.Finding) {
	for _, f := range found {
		if !slices.Contains(p.findings, f) {
			p.findings = append(p.findings, f)
		}
	}
}

// documents judges the paper of each cylinder and puts the holds on the lot where all of it is concerned, else on the cylinder.
func (k known) documents(p *plan) {
	d := p.delivery
	verdicts := map[*paper][]plannedHold{}
	for _, a := range d.cylinders {
		own := a.paper
		if own == nil {
			own = d.paper
		}
		if _, judged := verdicts[own]; !judged {
			verdicts[own] = k.verdict(p, own)
		}
		p.cylinders = append(p.cylinders, plannedCylinder{a, slices.Clone(verdicts[own])})
	}
	single := slices.ContainsFunc(d.cylinders, func(a arrival) bool { return a.paper != nil })
	if !single && (!p.joins || p.adopts) {
		p.holds = verdicts[d.paper]
		for i := range p.cylinders {
			p.cylinders[i].holds = nil
		}
	}
}

// verdict judges one document, or that there is none, with the dates that follow from it. What stands on a lot is not put
// on its cylinders again.
func (k known) verdict(p *plan, own *paper) []plannedHold {
	c := cylinder{item: p.delivery.item, lot: &lot{Lot: p.lot, parts: k.parts}, paper: k.document}
	var holds []plannedHold
	if own != nil || k.document == nil {
		found, doubts := k.judge(own)
		p.say(found...)
		holds = doubts
	}
	if own != nil {
		c.paper = own.asKept()
	}
	if c.paper != nil {
		p.say(k.meets(c)...)
	}
	u := c.terms().UseBy()
	for _, f := range u.Findings {
		if !u.Undated || f.Text != u.Words { // else the hold tells it
			p.say(f)
		}
	}
	p.say(k.late(u)...)
	if !p.delivery.opened() {
		holds = append(holds, k.shortDated(u)...)
	}
	if u.Undated {
		holds = append(holds, plannedHold{"R7", Undated, u.Words})
	}
	return slices.DeleteFunc(holds, func(h plannedHold) bool {
		return slices.ContainsFunc(k.standing, func(s models.Hold) bool { return s.Reason == h.reason })
	})
}

// tellHolds puts every hold among the findings.
func (p *plan) tellHolds() {
	tell := func(subject string, h plannedHold) {
		p.say(problem.Finding{Rule: h.rule, Severity: problem.Note, Subject: subject, Text: h.text, Advice: h.advice()})
	}
	for _, h := range p.holds {
		tell("lot "+p.lot.Lot, h)
	}
	for i, c := range p.cylinders {
		for _, h := range c.holds {
			tell(c.name(i), h)
		}
	}
}

// name is how people tell one cylinder of a delivery from the others before it has a tag.
func (a arrival) name(at int) string {
	if a.serial != "" {
		return "serial " + a.serial
	}
	return fmt.Sprintf("cylinder %d", at+1)
}
