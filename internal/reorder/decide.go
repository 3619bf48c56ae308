package reorder

import (
	"fmt"
	"strings"
)

// decide lists the ways out where the least order does not fit the shelf life (R48).
func (p planning) decide(o offer) *Decide {
	d := &Decide{Why: o.misfit(), Options: []Option{p.buyLeast(o)}}
	if o.ceiling() > 0 {
		d.Options = append(d.Options, p.split(o))
	}
	d.Options = append(d.Options, Option{Key: "smaller", Supplier: o.Supplier, Text: "ask for a smaller size or a smaller least order"})
	if *o.most > 0 {
		d.Options = append(d.Options, p.share(o))
	}
	d.Options = append(d.Options, p.goWithout())
	d.Options = append(d.Options, p.elsewhere()...)
	return d
}

// elsewhere is what the other suppliers could do.
func (p planning) elsewhere() []Option {
	var options []Option
	for _, t := range p.Others {
		switch {
		case t.Supplier == "" || t.Supplier == p.Supplier:
		case t.LeadUnknown:
			options = append(options, Option{Key: "other", Supplier: t.Supplier, Text: "ask " + t.Supplier + ": " + t.leadMissing()})
		default:
			options = append(options, p.other(t))
		}
	}
	return options
}

// misfit says what forces more than can be used.
func (o offer) misfit() string {
	least := fmt.Sprintf("MOQ %d", o.smallest)
	if o.MOQ <= o.Pack && o.Pack > 1 {
		least = fmt.Sprintf("a pack is %d", o.Pack)
	}
	inTime := float64(*o.most)
	if *o.most == 0 {
		inTime = o.inTime
	}
	return fmt.Sprintf("%s, only %s used before use-by", least, figure(inTime))
}

func (o offer) option(key string, quantity int, text string) Option {
	left := o.left(quantity)
	return Option{Key: key, Supplier: o.Supplier, Text: text, Quantity: quantity, Cost: o.worth(float64(quantity)), Waste: o.worth(left), WasteUnits: left}
}

func (p planning) buyLeast(o offer) Option {
	opt := o.option("moq", o.smallest, "")
	inTime := float64(o.smallest) - opt.WasteUnits
	opt.Text = fmt.Sprintf("buy %s: about %s used in time, %s left to expire", p.count(float64(o.smallest)), figure(inTime), figure(opt.WasteUnits))
	if o.Price.Minor > 0 {
		opt.Text += fmt.Sprintf(" (%s)", opt.Waste)
	}
	opt.Text += " and to be disposed of"
	if o.Price.Minor > 0 && inTime > tiny {
		opt.Text += fmt.Sprintf("; each one used then costs %s instead of %s", o.worth(float64(o.smallest)/inTime), o.worth(1))
	}
	return opt
}

func (p planning) split(o offer) Option {
	var parts []string
	for rest := o.smallest; rest > 0 && len(parts) < 5; rest -= o.ceiling() {
		parts = append(parts, fmt.Sprint(min(rest, o.ceiling())))
	}
	if len(parts) == 5 {
		parts = []string{fmt.Sprintf("%d at a time", o.ceiling())}
	}
	opt := o.option("split", o.smallest, fmt.Sprintf("one order of %s, delivered %s, %s apart",
		p.count(float64(o.smallest)), strings.Join(parts, " + "), weeks(float64(o.ceiling())/p.perDay)))
	opt.WasteUnits, opt.Waste = 0, o.worth(0)
	return opt
}

func (p planning) share(o offer) Option {
	return o.option("share", *o.most, fmt.Sprintf("share %s with a sister site: %d here, %d there",
		p.count(float64(o.smallest)), *o.most, o.smallest-*o.most))
}

func (p planning) goWithout() Option {
	return Option{Key: "without", Text: "order nothing: " + p.lasting()}
}

func (p planning) other(t Terms) Option {
	need := p.level(t) - position(p.batches, p.perDay, 0, float64(t.LeadDays+t.ReviewDays))
	o := p.offer(t, need, 0)
	opt := o.option("other", o.quantity(), "")
	opt.Text = fmt.Sprintf("order %s from %s, %s of lead time: ", p.count(float64(opt.Quantity)), t.Supplier, weeks(float64(t.LeadDays)))
	if opt.WasteUnits > tiny {
		opt.Text += figure(opt.WasteUnits) + " expire"
	} else {
		opt.Text += "all used in time"
	}
	return opt
}
