package fit

// Entry is a set value that is entered in instruments because the gas is another than they were set to.
type Entry struct {
	Serials   []string
	Component string // of the channel
	Name      string
	Set       Level
}

// Entries gives the set values that a gas needs on the instruments whose user may enter them, where theirs does not match it.
func Entries(g Gas, m []Instruments, p Policy) []Entry {
	var entries []Entry
	for i := range m {
		q := pairing{&Test{Purpose: Calibration}, &g, &m[i], &p}
		for j := range m[i].Channels {
			c := &m[i].Channels[j]
			part := g.part(c.Component)
			if part == nil || c.CleanAir {
				continue
			}
			if x, known := p.compare(c, part); known && !x.within() && q.enterable(x) {
				entries = append(entries, Entry{m[i].Serials, c.Component, c.Name, x.shows})
			}
		}
	}
	return entries
}

// enterable tells whether the user may enter what the gas makes a channel show. No display goes beyond 100 %LEL, whether its range
// is known or not.
func (q pairing) enterable(x comparison) bool {
	return q.of.MaySet && x.part.Amount > 0 && !x.channel.above(x.shows) && !(x.shows.InLEL && below(100, x.shows.LEL))
}
