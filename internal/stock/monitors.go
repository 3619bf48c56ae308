package stock

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/models"
)

// group are instruments put together as far as one verdict holds for them.
type group []fit.Instruments

// monitors are the instruments that an order names, as the catalogue has them.
type monitors struct {
	serials []string
	models  map[string]catalogue.Model
	known   map[string]catalogue.Instrument
}

// monitors finds the instruments of an order: those that it names, else those of its round that are in service.
func (r *needReader) monitors(ctx context.Context, o TakeOrder, round *roundUse) monitors {
	named := len(o.Instruments) > 0
	serials := trimmed(o.Instruments)
	if !named && round != nil {
		serials = round.Instruments
	}
	if len(serials) > mostInstruments {
		r.wrong.Add("instruments", fmt.Sprintf("there are %d instruments", len(serials)), fmt.Sprintf("take them in parts of up to %d", mostInstruments))
		return monitors{}
	}
	if named {
		r.known(ctx, func(i int) string { return fmt.Sprintf("instruments.%d", i) }, serials)
	}
	f := r.load(ctx, serials)
	if !named {
		f.serials = slices.DeleteFunc(slices.Clone(f.serials), func(s string) bool { return f.known[s].OutOfService })
	}
	r.serials, r.models = f.serials, f.models
	return f
}

func (r *needReader) load(ctx context.Context, serials []string) monitors {
	f := monitors{serials: serials, known: map[string]catalogue.Instrument{}}
	if len(serials) == 0 || r.broken != nil {
		return f
	}
	r.fail(func() error {
		var list []catalogue.Instrument
		var err error
		f.models, list, err = catalogue.LoadInstruments(ctx, r.store, serials)
		for _, i := range list {
			f.known[i.Code] = i
		}
		return err
	})
	return f
}

// all gives every instrument to every test.
func (r *needReader) all(f monitors) {
	r.on = r.group(f, f.serials)
	for i := range r.tests {
		r.tests[i].on = r.on
	}
}

// group puts some of the instruments together.
func (r *needReader) group(f monitors, serials []string) group {
	list := make([]catalogue.Instrument, len(serials))
	for i, serial := range serials {
		list[i] = f.known[serial]
		list[i].Code = serial
	}
	return catalogue.FitInstruments(f.models, list, r.today, r.settings)
}

// scheduled parts the instruments by the procedure that is on their schedule, else by the first.
func (f monitors) scheduled(choice []models.Procedure) map[string][]string {
	theirs := map[string][]string{}
	for _, serial := range f.serials {
		schedule := f.known[serial].Schedule
		code := choice[0].Code
		if at := slices.IndexFunc(schedule, func(line catalogue.Schedule) bool { return names(choice, line.Procedure) }); at >= 0 {
			code = schedule[at].Procedure
		}
		theirs[code] = append(theirs[code], serial)
	}
	return theirs
}

// known checks that every instrument is in the catalogue, or planned in a round. The field of each goes by its number.
func (r *needReader) known(ctx context.Context, field func(int) string, serials []string) {
	if r.broken != nil {
		return
	}
	known, err := knownInstruments(ctx, r.store, serials)
	if err != nil {
		r.broken = err
		return
	}
	for i, serial := range serials {
		if !known[strings.TrimSpace(serial)] {
			r.unknown(ctx, field(i), "instrument", strings.TrimSpace(serial))
		}
	}
}

// words says of which models the instruments are: "42 of DIFF-4, 2 of DIFF-4-44".
func (g group) words() string {
	if len(g) == 0 {
		return "no instruments are named: set values, alarm points and the flow that they want are not compared"
	}
	counts, order := map[string]int{}, []string{}
	for _, m := range g {
		if counts[m.Model] == 0 {
			order = append(order, m.Model)
		}
		counts[m.Model] += len(m.Serials)
	}
	parts := make([]string, len(order))
	for i, model := range order {
		parts[i] = fmt.Sprintf("%d of %s", counts[model], model)
		if model == "" {
			parts[i] = fmt.Sprintf("%d of a model that nobody knows", counts[model])
		}
	}
	return "compared with instruments: " + strings.Join(parts, ", ")
}
