package catalogue

import (
	"context"
	"fmt"
	"slices"
	"strings"
)

// CrossSensitivity is what the manual says of gases on a channel that is not theirs: whether they add to its reading.
type CrossSensitivity struct {
	Channel    string   `json:"channel"` // its component
	Gases      []string `json:"gases"`
	Interferes bool     `json:"interferes"`
}

// crossSensitivities checks the table of a model against its channels. Two lines that say different things of one gas help nobody.
func (o *Model) crossSensitivities(ctx context.Context, c *checker) {
	var channels []string
	for _, ch := range o.Channels {
		channels = append(channels, ch.Component)
	}
	seen := map[string]bool{}
	for i := range o.CrossSensitivities {
		line, field := &o.CrossSensitivities[i], fmt.Sprintf("cross_sensitivities.%d.", i)
		line.check(ctx, c, field, channels)
		for _, gas := range line.Gases {
			c.once(field+"gases", "the gas", gas+" on "+line.Channel, seen)
		}
	}
}

func (l *CrossSensitivity) check(ctx context.Context, c *checker, field string, channels []string) {
	switch l.Channel = strings.TrimSpace(l.Channel); {
	case l.Channel == "":
		c.missing(field+"channel", "give the component of one of the channels")
	case !slices.Contains(channels, l.Channel):
		c.wrong.Add(field+"channel", fmt.Sprintf("the model has no channel for %q", clip(l.Channel)), "give the component of one of its channels, or add the channel first")
	}
	if len(l.Gases) == 0 {
		c.missing(field+"gases", "name at least one gas, or take the line out")
		l.Gases = []string{}
	}
	for i := range l.Gases {
		c.known(ctx, field+"gases", "component", &l.Gases[i], true)
		if l.Gases[i] == l.Channel && l.Channel != "" {
			c.wrong.Add(field+"gases", l.Channel+" is the gas of this channel", "name the other gases only")
		}
	}
}
