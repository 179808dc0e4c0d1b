package cause

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/wiring"
)

// rewrite cures gaps in the switching: terms that are too many go, terms that
// are missing are added as rows over the relay's own lines and labels.
func (m *model) rewrite(gaps []gap) (change, bool) {
	c := newChange()
	labels := m.labelNames()
	lines := m.lineNames()
	whole := map[int]bool{} // rows that pick are replaced as a whole
	var picked []gap
	for _, g := range gaps {
		_, _, silentWant := m.kindsOf(g.want)
		_, _, silentGot := m.kindsOf(g.got)
		if len(silentWant)+len(silentGot) > 0 {
			picked = append(picked, g)
			for _, o := range g.from {
				if o.Row < len(m.r.Switch) && m.r.Switch[o.Row].Picks != console.PicksAll {
					whole[o.Row] = true
				}
			}
			if len(silentGot) == 0 && len(g.from) > 0 {
				whole[g.from[0].Row] = true
			}
			continue
		}
		if g.got != nil {
			o, ok := m.culprit(g)
			if !ok {
				return c, false
			}
			c.unswitch[element{o.Row, o.At}] = true
		}
		if g.want != nil {
			s, ok := m.row(g, labels, lines)
			if !ok {
				return c, false
			}
			c.switches = append(c.switches, s)
		}
	}
	for row := range whole {
		for at := range m.r.Switch[row].Len() {
			c.unswitch[element{row, at}] = true
		}
	}
	if len(picked) > 0 {
		s, ok := m.pickRow(picked, whole, labels, lines)
		if !ok {
			return c, false
		}
		c.switches = append(c.switches, s)
	}
	c.switches = inRuns(c.switches)
	return c, true
}

// culprit is the row of a term's way that brings in what it should not have:
// the one that asks a wrong control, otherwise the one that reads the line.
func (m *model) culprit(g gap) (equation.Origin, bool) {
	var own []equation.Origin
	for _, o := range g.from {
		if o.Row < len(m.r.Switch) && m.r.Switch[o.Row].Kind != wiring.Read {
			own = append(own, o)
		}
	}
	if len(own) == 0 {
		return equation.Origin{}, false
	}
	for _, o := range own {
		for _, l := range m.r.Switch[o.Row].Control {
			if node, read := m.rel.Labels[l.Label]; read {
				p := part{class: m.canon[m.w.Is(node)], not: l.Not}
				if slices.ContainsFunc(g.excess, p.same) {
					return o, true
				}
			}
		}
	}
	return own[0], true
}

// row is a row that adds the term that a place should have.
func (m *model) row(g gap, labels map[int32]string, lines map[int32]note) (wiring.Switch, bool) {
	s := wiring.Switch{Kind: wiring.Couple}
	controls, sources, _ := m.kindsOf(g.want)
	for _, p := range controls {
		label, known := labels[p.class]
		if !known {
			return s, false
		}
		s.Control = append(s.Control, wiring.Literal{Label: label, Not: p.not})
	}
	if len(sources) > 1 {
		return s, false
	}
	if len(sources) == 1 {
		from, known := lines[sources[0].class]
		if !known {
			return s, false
		}
		s.Line, s.Notes = from.line, []console.Note{console.Note(from.note)}
	}
	if g.site == nil && strings.HasPrefix(g.line.line, "=") {
		return s, false
	}
	if g.site == nil {
		s.To, s.ToNotes = g.line.line, []console.Note{console.Note(g.line.note)}
		return s, s.Line != "" && g.line.line != s.Line
	}
	pin, ok := m.rel.Nets.Pin(g.site.net, wiring.Output)
	s.Kind, s.Pins = wiring.Drive, []wiring.Terminal{pin}
	return s, ok
}

// pickRow is the row that picks, made whole: from the row as it is, or from
// what should be when there is none.
func (m *model) pickRow(gaps []gap, whole map[int]bool, labels map[int32]string, lines map[int32]note) (wiring.Switch, bool) {
	var s wiring.Switch
	var low, high int
	sources := map[console.Note]console.Note{}
	for _, g := range gaps {
		if g.want == nil {
			continue
		}
		_, from, silent := m.kindsOf(g.want)
		if len(from) != 1 || g.site != nil {
			return s, false
		}
		is := m.names[from[0].class]
		for _, p := range silent {
			if m.names[p.class].note < is.note {
				low++
			} else {
				high++
			}
		}
		row, ok := m.row(g, labels, lines)
		if !ok {
			return s, false
		}
		offset := row.ToNotes[0] - row.Notes[0]
		for _, p := range append(silent, from...) {
			if at, known := lines[p.class]; known {
				sources[console.Note(at.note)] = console.Note(at.note) + offset
			}
		}
		s = row
	}
	if s.Line == "" {
		return s, false
	}
	s.Picks = console.PicksLowest
	switch {
	case low == 0 && high == 0:
		s.Picks = console.PicksAll
	case high > low:
		s.Picks = console.PicksHighest
	}
	for row := range whole {
		old := m.r.Switch[row]
		for at := range old.Len() {
			if _, known := sources[old.Notes[at]]; !known {
				sources[old.Notes[at]] = old.ToNotes[at]
			}
		}
	}
	s.Notes, s.ToNotes = nil, nil
	for n := range console.HighestNote + 1 {
		if to, known := sources[n]; known && console.AllNotes.Has(to) {
			s.Notes, s.ToNotes = append(s.Notes, n), append(s.ToNotes, to)
		}
	}
	return s, true
}

// labelNames are labels by what they should be.
func (m *model) labelNames() map[int32]string {
	names := map[int32]string{}
	for label, node := range m.rel.Labels {
		class := m.canon[m.w.Is(node)]
		if now, known := names[class]; !known || label < now {
			names[class] = label
		}
	}
	return names
}

// lineNames are notes of lines by what they should be; of several lines the
// one that has most notes, so that rows stay in one run.
func (m *model) lineNames() map[int32]note {
	size := map[string]int{}
	for _, notes := range m.lines {
		for _, n := range notes {
			size[n.line]++
		}
	}
	names := map[int32]note{}
	for node, notes := range m.lines {
		for _, n := range notes {
			if strings.HasPrefix(n.line, "=") {
				continue // a label
			}
			now, known := names[m.canon[node]]
			if !known || size[n.line] > size[now.line] || size[n.line] == size[now.line] && (n.line < now.line || n.line == now.line && n.note < now.note) {
				names[m.canon[node]] = n
			}
		}
	}
	return names
}
