package catalogue

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/fit"
	"spanroom/internal/unit"
)

// SetValue is what one instrument is set to on a channel of its model, known by its component, and by its name too where the
// model has two channels for that.
type SetValue struct {
	Component string     `json:"component"`
	Name      string     `json:"name,omitempty"`
	SetValue  unit.Typed `json:"set_value"`
}

// meant gives the channels that a set value may be for: the one of its component and name, else all of its component where it
// names none.
func (v SetValue) meant(channels []Channel) []*Channel {
	var alike []*Channel
	for i := range channels {
		ch := &channels[i]
		switch {
		case ch.Component != v.Component:
		case ch.Name == v.Name:
			return []*Channel{ch}
		case v.Name == "":
			alike = append(alike, ch)
		}
	}
	return alike
}

// SetTo keeps what the instrument is set to from now on, on a channel of its model.
func (o *Instrument) SetTo(m Model, ch fit.Channel, level fit.Level) {
	typed := unit.Typed(level.Words())
	for i, v := range o.SetValues {
		if meant := v.meant(m.Channels); len(meant) == 1 && meant[0].Component == ch.Component && meant[0].Name == ch.Name {
			o.SetValues[i].SetValue = typed
			return
		}
	}
	o.SetValues = append(o.SetValues, SetValue{Component: ch.Component, Name: ch.Name, SetValue: typed})
}

// setValues checks each of them against the channel of the model that it is for.
func (o *Instrument) setValues(ctx context.Context, c *checker) {
	if len(o.SetValues) == 0 {
		return
	}
	if o.Model == "" {
		c.missing("model", "set values are those of its channels: choose it")
		return
	}
	var model Model
	v, known, err := c.store.LatestVersion(ctx, "model", o.Model)
	if err == nil && known {
		err = decode("model", v.Doc, &model)
	}
	if err != nil {
		c.broken = err
		return
	}
	taken := map[string]bool{}
	for i := range o.SetValues {
		o.SetValues[i].check(c, fmt.Sprintf("set_values.%d.", i), model, taken)
	}
}

func (v *SetValue) check(c *checker, field string, m Model, taken map[string]bool) {
	v.Component = strings.TrimSpace(v.Component)
	c.text(field+"name", &v.Name)
	level := c.level(field+"set_value", &v.SetValue)
	if v.SetValue == "" {
		c.missing(field+"set_value", "give what the screen shows, or take the line out")
	}
	if v.Component == "" {
		c.missing(field+"component", "choose the component of the channel")
		return
	}
	switch meant := v.meant(m.Channels); len(meant) {
	case 0:
		c.wrong.Add(field+"component", fmt.Sprintf("its model has no channel %s", clip(strings.TrimSpace(v.Component+" "+v.Name))), "choose a channel of the model, or add it there first")
	case 1:
		v.fits(c, field, meant[0], level, taken)
	default:
		c.wrong.Add(field+"name", fmt.Sprintf("its model has two channels for %s", v.Component), "give the name of the channel, as the model has it")
	}
}

func (v *SetValue) fits(c *checker, field string, ch *Channel, level fit.Level, taken map[string]bool) {
	c.once(field+"component", "channel", ch.label(), taken)
	display := ch.fit()
	if order, known := display.Compare(level, display.Range); known && order > 0 {
		c.wrong.Add(field+"set_value", fmt.Sprintf("%s is above the range of the model, which ends at %s", v.SetValue, ch.Range), "check the figure and its unit")
	}
}
