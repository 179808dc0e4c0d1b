package cause

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/wiring"
)

// element is one place of the run of a row.
type element struct{ row, at int }

// change is what is altered in the rows of a relay: places of runs taken out,
// and rows added. All of it is said of the rows as they are before any change,
// so that changes can be made together.
type change struct {
	unhang, unswitch, unjoin map[element]bool
	hang                     []wiring.Row
	switches                 []wiring.Switch
	joins                    []wiring.Join
}

func newChange() change {
	return change{unhang: map[element]bool{}, unswitch: map[element]bool{}, unjoin: map[element]bool{}}
}

// with makes several changes in a copy of a relay.
func with(r *wiring.Relay, changes ...change) *wiring.Relay {
	c := *r
	rows := cut(r.Soldered(), changes, func(c change) map[element]bool { return c.unhang }, partOfRow, func(row wiring.Row) int { return len(row.Pins) })
	c.Switch = cut(r.Switch, changes, func(c change) map[element]bool { return c.unswitch }, partOfSwitch, wiring.Switch.Len)
	c.Joins = cut(r.Joins, changes, func(c change) map[element]bool { return c.unjoin }, partOfJoin, func(j wiring.Join) int { return len(j.From) })
	for _, x := range changes {
		rows = append(rows, x.hang...)
		c.Switch = append(c.Switch, x.switches...)
		c.Joins = append(c.Joins, x.joins...)
	}
	if c.Wired != nil {
		c.Wired = rows
	} else {
		c.Plan = rows
	}
	return &c
}

// cut is rows without the places that changes take out, and without rows that
// are left empty.
func cut[R any](rows []R, changes []change, out func(change) map[element]bool, part func(R, []int) R, length func(R) int) []R {
	touched := map[int]bool{}
	for _, c := range changes {
		for e := range out(c) {
			touched[e.row] = true
		}
	}
	left := make([]R, 0, len(rows))
	for i, row := range rows {
		if !touched[i] {
			left = append(left, row)
			continue
		}
		var keep []int
		for at := range length(row) {
			if !slices.ContainsFunc(changes, func(c change) bool { return out(c)[element{i, at}] }) {
				keep = append(keep, at)
			}
		}
		if len(keep) > 0 {
			left = append(left, part(row, keep))
		}
	}
	return left
}

// pick is the members of a list at some places; those past its end are none.
func pick[T any](list []T, places []int) []T {
	if list == nil {
		return nil
	}
	var picked []T
	for _, i := range places {
		if i < len(list) {
			picked = append(picked, list[i])
		}
	}
	return picked
}

// partOfRow is a row of the wiring with some places of its run.
func partOfRow(row wiring.Row, places []int) wiring.Row {
	row.Pins, row.Items, row.Wires = pick(row.Pins, places), pick(row.Items, places), pick(row.Wires, places)
	return row
}

// partOfSwitch is a row of the switching with some places of its run.
func partOfSwitch(s wiring.Switch, places []int) wiring.Switch {
	s.Notes, s.Pins, s.ToNotes = pick(s.Notes, places), pick(s.Pins, places), pick(s.ToNotes, places)
	return s
}

// partOfJoin is a join with some places of its run.
func partOfJoin(j wiring.Join, places []int) wiring.Join {
	j.From, j.To, j.Wires = pick(j.From, places), pick(j.To, places), pick(j.Wires, places)
	return j
}

// layer is where the rows stand that a cure changes.
type layer string

const (
	inWiring    layer = "wiring"
	inSwitching layer = "switching"
	inJoins     layer = "joins"
)

// rehang cures what is moved in the wiring: what the relay uses a pin for
// hangs there, on the wire that it has.
func (m *model) rehang(entries []moved) (change, bool) {
	c := newChange()
	nets := m.rel.Nets
	rows := m.r.Soldered()
	for _, e := range entries {
		if e.net < 0 {
			return c, false
		}
		pin, _ := m.terminal(e.net)
		for _, h := range nets.Hung(e.net) {
			if nets.Item(h) == e.have {
				c.unhang[element{h.Row, h.At}] = true
				pin = rows[h.Row].Pins[h.At]
			}
		}
		if e.means == nothing || e.extra {
			continue
		}
		kind, _, _ := e.means.Words(m.in)
		row := wiring.Row{Pins: []wiring.Terminal{pin}, Kind: kind, Items: []wiring.Item{e.means}}
		if at, hangs := m.hangsAt(e.means); hangs {
			row.Cable, row.Group = rows[at.row].Cable, rows[at.row].Group
			if at.at < len(rows[at.row].Wires) {
				row.Wires = []int{rows[at.row].Wires[at.at]}
			}
		}
		c.hang = append(c.hang, row)
	}
	m.takeAlong(&c)
	c.hang = hangInRuns(c.hang)
	return c, true
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

// rewrite cures gaps in the switching: terms that are too many go, terms that
// are missing are added as rows over the relay's own lines and labels.
func (m *model) rewrite(gaps []gap) (change, bool) {
	c := newChange()
	labels := m.labelNames()
	lines := m.lineNames()
	whole := map[int]bool{} // rows that pick are replaced as a whole
	var picked []gap
	for _, g := range gaps {
		_, _, silentWant := m.sort(g.want)
		_, _, silentGot := m.sort(g.got)
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
	controls, sources, _ := m.sort(g.want)
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
		_, from, silent := m.sort(g.want)
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
