package listen

import (
	"slices"

	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// Cause is a mistake that may account for what was heard.
type Cause struct {
	Fault    fault.Fault // without the relay that has it
	Explains []bool      // by symptom; one that says what is good is not contradicted
	Weight   float64     // how likely it is, beside others
	site     fault.Site
	way      int
	patch    patch
}

// Relay is the relay with the mistake.
func (c Cause) Relay() *wiring.Relay { return c.site.Way(c.way).Relay }

// all reports whether a cause accounts for everything.
func (c Cause) all() bool { return !slices.Contains(c.Explains, false) }

func (c Cause) count() (n int) {
	for _, e := range c.Explains {
		if e {
			n++
		}
	}
	return n
}

// prior is how likely a mistake is before anything is heard, beside others: one or
// two pins of the wiring are wrong more often than a row of the table, and that more
// often than a run, a plug or a board. Common practice, no source.
func prior(f fault.Fault) float64 {
	pins := false
	switch f.Class {
	case "pin-open", "pins-swapped", "pins-bridged", "key-stuck", "stop-stuck", "output-stuck":
		pins = true
	case "group-open":
		pins = len(f.Pins) <= 2
	}
	switch {
	case pins && f.In != fault.Switching:
		return 1
	case pins, f.In == fault.Switching && len(f.Pins) == 0:
		return 0.5
	}
	return 0.25
}

// sites are the places for mistakes; a table that is trusted, or derived from the
// plan, has none.
func (l *Listener) sites() []fault.Site {
	return slices.DeleteFunc(append(fault.Sites(l.r, l.in), fault.Stuck(l.r, l.in)...), func(s fault.Site) bool { return (l.wiring || l.r.Derived) && s.In == fault.Switching })
}

// causes are the single mistakes that account for some of what was heard and
// contradict nothing that was good, the likeliest first.
func (l *Listener) causes(symptoms []Symptom) []Cause {
	p := newPool(l)
	var heard []heardIn
	for _, s := range symptoms {
		heard = append(heard, p.place(s))
	}
	ciphers := slices.ContainsFunc(symptoms, func(s Symptom) bool { return s.unasked })
	var list []Cause
	for _, site := range l.sites() {
		if !p.bears(site) {
			continue
		}
		asks := l.asks(site)
		for i := range site.Count {
			e := site.Edit(i)
			if asks && !p.tells(site.Row, l.m.asks(e.Rows[0])) {
				continue
			}
			x := l.m.patchOf(e)
			if x.lasting && !ciphers || !p.any(x) {
				continue
			}
			if c, is := p.accounts(heard, x); is {
				c.Fault, c.site, c.way, c.patch = site.Named(i), site, i, x
				c.Weight *= prior(c.Fault)
				list = append(list, c)
			}
		}
	}
	ways := map[string]int{}
	for _, c := range list {
		ways[c.Fault.Class+c.Fault.Where]++
	}
	for i, c := range list { // one mistake counts once, in however many ways it may be made
		list[i].Weight /= float64(ways[c.Fault.Class+c.Fault.Where])
	}
	slices.SortStableFunc(list, func(a, b Cause) int {
		switch {
		case a.count() != b.count():
			return b.count() - a.count()
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return len(a.Fault.Pins) - len(b.Fault.Pins)
	})
	return list
}

// accounts is which symptoms a mistake accounts for; false for none, or when it
// contradicts what is good.
func (p *pool) accounts(heard []heardIn, x patch) (c Cause, is bool) {
	h := p.listen(x)
	c.Weight = 1
	for _, s := range heard {
		share := s.share(p, h)
		if !s.bad() && share == 0 {
			return c, false
		}
		c.Explains = append(c.Explains, share > 0)
		if share > 0 {
			c.Weight *= share
			is = is || s.bad()
		}
	}
	return c, is
}

// tells reports whether it may make a difference in some registration what a row asks for.
func (p *pool) tells(number int, asks row) bool {
	was := p.l.m.rows[number]
	return p.l.m.played || slices.ContainsFunc(p.regs, func(r registration) bool {
		return was.among(r.drawn.labels) != asks.among(r.drawn.labels)
	})
}

// any reports whether a mistake bears on some try.
func (p *pool) any(x patch) bool {
	for range p.bearing(x) {
		return true
	}
	return false
}

// bears reports whether a mistake at a site may bear on some try.
func (p *pool) bears(site fault.Site) bool {
	m := p.l.m
	switch {
	case site.Among != nil && site.In != fault.Switching:
		return slices.ContainsFunc(site.Among, func(pin wiring.Terminal) bool {
			t := m.terminal(pin)
			return t >= 0 && len(p.net[m.net[t]])+len(p.driven[m.net[t]]) > 0
		})
	case site.In == fault.Switching && site.Class != "wrong-keyboard" && site.Class != "wrong-direction":
		s := p.l.r.Switch[site.Row]
		for i := range s.Len() {
			if len(p.starts(s, i)) > 0 {
				return true
			}
		}
		return false
	}
	return true
}
