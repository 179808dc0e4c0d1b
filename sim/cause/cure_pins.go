package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// rehang cures what is moved in the wiring: what the relay uses a pin for
// hangs there, on the wire that it has; where things are only called wrong, on
// the wire of the pin.
func (m *model) rehang(entries []moved) (change, bool) {
	c := newChange()
	nets := m.rel.Nets
	rows := m.r.Soldered()
	misnamed := m.misnamed(entries)
	for _, e := range entries {
		if e.net < 0 {
			return c, false
		}
		pin := m.hangPin(e.net)
		wire, wired := m.hangsAt(e.means)
		for _, h := range nets.Hung(e.net) {
			if nets.Item(h) == e.have {
				c.unhang[element{h.Row, h.At}] = true
				pin = rows[h.Row].Pins[h.At]
				if misnamed {
					wire, wired = element{h.Row, h.At}, true
				}
			}
		}
		if e.means == nothing || e.extra {
			continue
		}
		kind, _, _ := e.means.Words(m.in)
		row := wiring.Row{Pins: []wiring.Terminal{pin}, Kind: kind, Items: []wiring.Item{e.means}}
		if wired {
			row.Cable, row.Group = rows[wire.row].Cable, rows[wire.row].Group
			if wire.at < len(rows[wire.row].Wires) {
				row.Wires = []int{rows[wire.row].Wires[wire.at]}
			}
		}
		c.hang = append(c.hang, row)
	}
	m.takeAlong(&c)
	c.hang = hangInRuns(c.hang)
	return c, true
}

// misnamed reports whether rows call things wrong rather than wires being on
// wrong pins: what belongs there hangs nowhere, and what is said to hang there
// does so elsewhere too.
func (m *model) misnamed(entries []moved) bool {
	places := map[wiring.Item]int{}
	for _, row := range m.r.Soldered() {
		for _, item := range row.Items[:min(len(row.Items), len(row.Pins))] {
			places[item]++
		}
	}
	return slices.ContainsFunc(entries, func(e moved) bool { return e.means != nothing && places[e.means] == 0 }) &&
		slices.ContainsFunc(entries, func(e moved) bool { return places[e.have] > 1 })
}

// hangsAt is where a thing hangs in the rows of the wiring.
func (m *model) hangsAt(item wiring.Item) (element, bool) {
	for i, row := range m.r.Soldered() {
		if at := slices.Index(row.Items, item); at >= 0 && at < len(row.Pins) {
			return element{i, at}, true
		}
	}
	return element{}, false
}

// takeAlong rewrites rows of which most is rehung as a whole, so that what is
// written anew is one run again.
func (m *model) takeAlong(c *change) {
	for i, row := range m.r.Soldered() {
		keep, touched := kept(c.unhang, i, len(row.Pins))
		if !touched || len(keep) == 0 || len(keep) > len(row.Pins)/2 {
			continue
		}
		for _, at := range keep {
			if at >= len(row.Items) {
				continue // nothing hangs there
			}
			c.unhang[element{i, at}] = true
			one := wiring.Row{Pins: row.Pins[at : at+1], Kind: row.Kind, Items: pick(row.Items, []int{at}), Cable: row.Cable, Wires: pick(row.Wires, []int{at}), Group: row.Group}
			c.hang = append(c.hang, one)
		}
	}
}

// hungOf is the nets on which each thing hangs.
func (m *model) hungOf() map[wiring.Item][]int {
	of := map[wiring.Item][]int{}
	for net := range m.rel.Nets.Len() {
		for _, h := range m.rel.Nets.Hung(net) {
			item := m.rel.Nets.Item(h)
			of[item] = append(of[item], net)
		}
	}
	return of
}

// repin cures what is moved in the switching: rows that read or drive a pin
// for something go to the pin where that hangs, and what is never read is read
// from there.
func (m *model) repin(entries []moved) (change, bool) {
	c := newChange()
	hung := m.hungOf()
	onNet := map[int][]element{}
	for i, s := range m.r.Switch {
		for at, t := range s.Pins {
			if at < s.Len() {
				onNet[m.rel.Nets.Of(t)] = append(onNet[m.rel.Nets.Of(t)], element{i, at})
			}
		}
	}
	for _, e := range entries {
		if e.extra {
			return c, false
		}
		var target []wiring.Terminal
		if e.means != nothing {
			direction := wiring.Output
			if e.input {
				direction = wiring.Input
			}
			for _, net := range hung[e.means] {
				if t, ok := m.rel.Nets.Pin(net, direction); ok {
					target = append(target, t)
				}
			}
			if target == nil {
				return c, false
			}
		}
		if e.net < 0 {
			s := m.rel.Switch[e.row]
			for _, t := range target {
				s.Pins = []wiring.Terminal{t}
				c.switches = append(c.switches, s)
			}
			continue
		}
		for _, at := range onNet[e.net] {
			c.unswitch[at] = true
			s := partOfSwitch(m.r.Switch[at.row], []int{at.at})
			for _, t := range target {
				s.Pins = []wiring.Terminal{t}
				c.switches = append(c.switches, s)
			}
		}
	}
	c.switches = inRuns(c.switches)
	return c, true
}

// rejoin cures what is moved in the joins: the leg of a pin ends where what
// the relay uses it for hangs.
func (m *model) rejoin(entries []moved) (change, bool) {
	c := newChange()
	hung := m.hungOf()
	for _, e := range entries {
		if e.net < 0 || e.extra {
			return c, false
		}
		legs := m.rel.Nets.Legs(e.net)
		if e.means == nothing {
			if len(legs) == 0 {
				continue
			}
			return c, false
		}
		pin, _ := m.terminal(e.net)
		for _, l := range legs {
			c.unjoin[element{l.Join, l.At}] = true
			pin = m.r.Joins[l.Join].From[l.At]
		}
		if len(legs) > 1 || len(hung[e.means]) != 1 {
			return c, false
		}
		h := m.rel.Nets.Hung(hung[e.means][0])
		to := wiring.Terminal{On: -1}
		for _, at := range h {
			if m.rel.Nets.Item(at) == e.means {
				to = m.r.Soldered()[at.Row].Pins[at.At]
			}
		}
		if to.On < len(m.r.Boards) {
			return c, false
		}
		c.joins = append(c.joins, wiring.Join{From: []wiring.Terminal{pin}, To: []wiring.Terminal{to}})
	}
	return c, len(c.joins) > 0
}
