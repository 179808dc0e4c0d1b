package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/wiring"
)

// hold finds the notes of division lines, in the instrument and in the relay,
// so that they are looked at one by one even where only one thing leads to
// them. Lines are told by the outputs they drive. A division is left alone
// when the relay drives it from a line that is more than a division's line:
// one that is read, or passed on.
func (m *model) hold(nodes int, r *wiring.Relay, inst *equation.Instrument) []bool {
	lines := m.divisionLines(r)
	more := map[string]bool{}
	for _, s := range r.Switch {
		if s.Kind == wiring.Read && s.Len() > 0 && s.Pins[0].On >= 0 || s.Kind == wiring.Couple {
			more[s.Line] = true
		}
	}
	held := make([]bool, nodes)
	keep := func(notes *equation.Notes) {
		for _, n := range notes {
			if n != equation.Nothing {
				held[n] = true
			}
		}
	}
	for d, names := range lines {
		if slices.ContainsFunc(names, func(name string) bool { return more[name] }) {
			continue
		}
		for _, p := range planesOf(inst) {
			keep(&p.Line[d])
		}
		for _, name := range names {
			keep(m.rel.Lines[name])
		}
	}
	for _, s := range r.Switch { // what nothing feeds is no part of a line
		if s.Kind == wiring.Read && s.Line != "" && s.Len() > 0 && s.Pins[0].On < 0 {
			held[m.rel.Lines[s.Line][s.Notes[0]]] = false
		}
	}
	return held
}

// divisionLines are the lines from which the relay drives each division, by
// most of the outputs on the pins they drive.
func (m *model) divisionLines(r *wiring.Relay) map[int][]string {
	votes := map[string]map[int]int{}
	stops := m.stopLabels(r)
	for _, s := range r.Switch {
		if s.Kind != wiring.Drive || s.Line == "" {
			continue
		}
		if votes[s.Line] == nil {
			votes[s.Line] = map[int]int{}
		}
		for at := range s.Len() {
			net := m.rel.Nets.Of(s.Pins[at])
			if net < 0 {
				continue
			}
			for _, h := range m.rel.Nets.Hung(net) {
				for _, d := range m.dividedBy(m.rel.Nets.Item(h), s.Control, stops) {
					votes[s.Line][d]++
				}
			}
		}
	}
	lines := map[int][]string{}
	for name, of := range votes {
		best, count := console.None, 0
		for d, n := range of {
			if n > count || n == count && d < best {
				best, count = d, n
			}
		}
		if count > 0 {
			lines[best] = append(lines[best], name)
		}
	}
	for _, names := range lines {
		slices.Sort(names)
	}
	return lines
}

// stopLabels are the stops that a label is read from.
func (m *model) stopLabels(r *wiring.Relay) map[string][]int {
	stops := map[string][]int{}
	for _, s := range r.Switch {
		if s.Kind != wiring.Read || s.Line != "" {
			continue
		}
		for _, t := range s.Pins {
			if t.On < 0 {
				continue
			}
			for _, item := range m.contacts(m.rel.Nets, m.rel.Nets.Of(t)) {
				if item.Kind == wiring.ControlKind && m.in.Controls[item.Index].Kind == console.StopControl {
					label := s.Control[0].Label
					stops[label] = append(stops[label], m.in.Controls[item.Index].Index)
				}
			}
		}
	}
	return stops
}

// dividedBy are the divisions whose line an output takes under a control.
func (m *model) dividedBy(item wiring.Item, control []wiring.Literal, stops map[string][]int) []int {
	switch item.Kind {
	case wiring.NoteKind:
		if item.Of != console.None {
			return []int{item.Of}
		}
		return m.in.Chests[item.Index].Plays[:1]
	case wiring.ValveKind:
		var of []int
		for _, l := range control {
			for _, s := range stops[l.Label] {
				stop := m.in.Stops[s]
				if slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return t.Rank == item.Index }) {
					of = append(of, stop.Division)
				}
			}
		}
		return of
	}
	return nil
}
