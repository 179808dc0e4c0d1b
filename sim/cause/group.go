package cause

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trundle/sim/wiring"
)

// group is what one mistake has done.
type group struct {
	rule  string
	moved []moved
	gaps  []gap

	astray bool // gaps of one line that has lost what another has gained
}

// lane is things that hang side by side: the keys of a keyboard, the notes of
// a chest, the valves of a rank, or the controls or actions of a board.
type lane struct {
	kind      wiring.Kind
	index, of int
}

func (m *model) lane(item wiring.Item, net int) lane {
	switch item.Kind {
	case wiring.ControlKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		return lane{"board", m.hangPin(net).On, 0}
	}
	return lane{item.Kind, item.Index, item.Of}
}

// terminal is the pin of a board by which a net is known; false for none.
func (m *model) terminal(net int) (wiring.Terminal, bool) {
	if net < 0 {
		return wiring.Terminal{On: -1}, false
	}
	all := m.rel.Nets.Terminals(net)
	return all[0], true
}

// hangPin is the terminal of a net on which something hangs, or did in the
// plan; the last of the net where nothing does.
func (m *model) hangPin(net int) wiring.Terminal {
	if net < 0 {
		return wiring.Terminal{On: -1}
	}
	for _, h := range m.rel.Nets.Hung(net) {
		return m.r.Soldered()[h.Row].Pins[h.At]
	}
	for _, h := range m.plan.Hung(net) {
		return m.r.Plan[h.Row].Pins[h.At]
	}
	all := m.rel.Nets.Terminals(net)
	return all[len(all)-1]
}

func (m *model) boardOf(net int) int {
	t, _ := m.terminal(net)
	return t.On
}

func compareTerminals(a, b wiring.Terminal) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
}

// groupMoved sorts what is moved into mistakes.
func (m *model) groupMoved(all []moved) []group {
	var groups []group
	var rest []moved
	for _, e := range all {
		if e.extra {
			groups = bridged(groups, e)
		} else {
			rest = append(rest, e)
		}
	}
	swapped, rest := m.boards(rest)
	groups = append(groups, swapped...)
	type pair [2]lane
	byLanes := map[pair][]moved{}
	var order []pair
	for _, e := range rest {
		p := pair{m.lane(e.some(), e.net), m.lane(e.other(), e.net)}
		if p[1].less(p[0]) {
			p[0], p[1] = p[1], p[0]
		}
		if byLanes[p] == nil {
			order = append(order, p)
		}
		byLanes[p] = append(byLanes[p], e)
	}
	for _, p := range order {
		if p[0] != p[1] {
			groups = append(groups, m.exchanged(p[0], p[1], byLanes[p]))
		} else {
			groups = append(groups, m.within(p[0], byLanes[p])...)
		}
	}
	return groups
}

// some is what hangs on the pin, or else what it is used for; other is the
// other of the two, or else the same.
func (e moved) some() wiring.Item {
	if e.have == nothing {
		return e.means
	}
	return e.have
}

func (e moved) other() wiring.Item {
	if e.means == nothing {
		return e.have
	}
	return e.means
}

func (a lane) less(b lane) bool {
	return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.index, b.index), cmp.Compare(a.of, b.of)) < 0
}

// bridged adds a pin on which too much hangs. Two pins each of which has what
// hangs on the other are one bridge.
func bridged(groups []group, e moved) []group {
	for i, g := range groups {
		if f := g.moved[0]; len(g.moved) == 1 && f.means == e.have && e.means == f.have && f.means != nothing {
			groups[i].moved = append(g.moved, e)
			return groups
		}
	}
	return append(groups, group{rule: "pins-bridged", moved: []moved{e}})
}

// boards finds two boards of which each has what belongs on the same pins of
// the other, and what is moved otherwise.
func (m *model) boards(all []moved) (groups []group, rest []moved) {
	on := map[int][]moved{}
	byNet := map[int]moved{}
	for _, e := range all {
		if e.net >= 0 {
			on[m.boardOf(e.net)] = append(on[m.boardOf(e.net)], e)
			byNet[e.net] = e
		}
	}
	taken := map[int]bool{}
	for a := range m.r.Boards {
		for b := range a {
			if len(on[a]) < 2 || len(on[b]) < 2 || taken[a] || taken[b] || !m.exchangedBoards(a, b, byNet) {
				continue
			}
			taken[a], taken[b] = true, true
			groups = append(groups, group{rule: "boards-swapped", moved: slices.Concat(on[b], on[a])})
		}
	}
	for _, e := range all {
		if e.net < 0 || !taken[m.boardOf(e.net)] {
			rest = append(rest, e)
		}
	}
	return groups, rest
}

// exchangedBoards reports whether what hangs on each pin of a board belongs on
// the same pin of the other, as far as it is known what does.
func (m *model) exchangedBoards(a, b int, moved map[int]moved) bool {
	if m.r.Boards[a].Direction != m.r.Boards[b].Direction {
		return false
	}
	crossed, others := 0, 0
	for pin := 1; pin <= max(m.r.Boards[a].Pins, m.r.Boards[b].Pins); pin++ {
		x, y := m.rel.Nets.Of(wiring.Terminal{On: a, Pin: pin}), m.rel.Nets.Of(wiring.Terminal{On: b, Pin: pin})
		if x < 0 || y < 0 {
			return false
		}
		_, movedX := moved[x]
		_, movedY := moved[y]
		properX, actualX := m.content(x, moved)
		properY, actualY := m.content(y, moved)
		switch {
		case movedX && properX != actualY && properX != nothing && actualY != nothing,
			movedY && properY != actualX && properY != nothing && actualX != nothing:
			others++
		case movedX && properX == actualY || movedY && properY == actualX:
			crossed++
		}
	}
	return crossed >= 2 && others*10 <= crossed
}

// content is what belongs on a net and what hangs there.
func (m *model) content(net int, byNet map[int]moved) (proper, actual wiring.Item) {
	if e, is := byNet[net]; is {
		return e.means, e.have
	}
	if hung := m.counted(m.rel.Nets, net); len(hung) > 0 {
		return hung[0], hung[0]
	}
	return nothing, nothing
}

// exchanged is what has been moved between two lanes. Where all of one of them
// has, they are exchanged as a whole.
func (m *model) exchanged(a, b lane, entries []moved) group {
	same := true
	for _, e := range entries {
		same = same && e.have.Note == e.means.Note
	}
	whole := len(entries) >= 2*min(len(m.laneNets(a, nil)), len(m.laneNets(b, nil)))
	rule := "plugs-swapped"
	switch {
	case len(entries) <= 2:
		rule = "pins-swapped"
	case a.kind == wiring.KeyKind && same && whole:
		rule = "keyboards-swapped"
	case a.kind == wiring.ValveKind && same && whole:
		rule = "ranks-swapped"
	}
	return group{rule: rule, moved: entries}
}

// within is what has been moved within one lane: one mistake when a pattern
// accounts for it all, otherwise one for each ring or chain of things that
// have taken each other's place.
func (m *model) within(l lane, entries []moved) []group {
	nets := m.laneNets(l, entries)
	for _, nets := range append([][]int{nets}, m.rowNets(entries)...) {
		if rule := m.patternOf(nets, entries); rule != "" {
			return []group{{rule: rule, moved: entries}}
		}
	}
	var groups []group
	for _, part := range chains(entries) {
		rule := m.patternOf(nets, part)
		if rule == "" {
			rule = "pins-mixed"
		}
		groups = append(groups, group{rule: rule, moved: part})
	}
	return joinOpen(groups, nets)
}

// laneNets are the nets of a lane in the order of their pins: those on which
// something of it hangs, or that the relay uses for something of it.
func (m *model) laneNets(l lane, among []moved) []int {
	var nets []int
	for net := range m.rel.Nets.Len() {
		if slices.ContainsFunc(m.counted(m.rel.Nets, net), func(item wiring.Item) bool { return m.lane(item, net) == l }) {
			nets = append(nets, net)
		}
	}
	for _, e := range among {
		if e.net >= 0 && !slices.Contains(nets, e.net) {
			nets = append(nets, e.net)
		}
	}
	m.inOrder(nets)
	return nets
}

// inOrder sorts nets by the terminals on which things hang.
func (m *model) inOrder(nets []int) {
	slices.SortFunc(nets, func(a, b int) int { return compareTerminals(m.hangPin(a), m.hangPin(b)) })
}

// rowNets are the nets of each row of the wiring, the joins and the switching
// that has all of some nets: what has been moved may be a part of a lane.
func (m *model) rowNets(entries []moved) [][]int {
	var all [][]int
	add := func(pins []wiring.Terminal) {
		var nets []int
		for _, t := range pins {
			if net := m.rel.Nets.Of(t); net >= 0 && !slices.Contains(nets, net) {
				nets = append(nets, net)
			}
		}
		for _, e := range entries {
			if !slices.Contains(nets, e.net) {
				return
			}
		}
		m.inOrder(nets)
		all = append(all, nets)
	}
	for _, row := range m.r.Soldered() {
		add(row.Pins)
	}
	for _, j := range m.r.Joins {
		add(j.From)
	}
	for _, s := range m.r.Switch {
		add(s.Pins)
	}
	return all
}

// patternOf names the mistake that has moved some of a lane. What is read from
// no pin and hangs on none that is used is open there.
func (m *model) patternOf(nets []int, entries []moved) string {
	byNet := map[int]moved{}
	for _, e := range entries {
		if e.net >= 0 {
			byNet[e.net] = e
		}
	}
	if len(byNet) == 0 && len(entries) > 0 {
		switch {
		case len(entries) == 1:
			return "pin-open"
		case len(entries) == len(nets):
			return "row-missing"
		}
		return "group-open"
	}
	var proper, actual []wiring.Item
	for _, net := range nets {
		if t, _ := m.terminal(net); t.On >= len(m.r.Boards) {
			continue // what hangs there is open at the board
		}
		p, a := m.content(net, byNet)
		proper, actual = append(proper, p), append(actual, a)
	}
	if rule := pattern(proper, actual); rule != "" {
		return rule
	}
	return pattern(undriven(proper, actual)) // pins that nothing drives are as open as pins on which nothing hangs
}

// undriven turns pins that nothing drives round: as if what hangs on them
// belonged there and did not hang there.
func undriven(proper, actual []wiring.Item) (p, a []wiring.Item) {
	p, a = slices.Clone(proper), slices.Clone(actual)
	for i := range p {
		if p[i] == nothing {
			p[i], a[i] = actual[i], nothing
		}
	}
	return p, a
}

// chains parts what is moved into rings and chains.
func chains(entries []moved) [][]moved {
	var parts [][]moved
	left := slices.Clone(entries)
	for len(left) > 0 {
		part := []moved{left[0]}
		left = left[1:]
		for i := 0; i < len(part); i++ {
			for j := 0; j < len(left); {
				if touch(part[i], left[j]) {
					part = append(part, left[j])
					left = slices.Delete(left, j, j+1)
				} else {
					j++
				}
			}
		}
		parts = append(parts, part)
	}
	return parts
}

func touch(a, b moved) bool {
	return a.have != nothing && a.have == b.means || a.means != nothing && a.means == b.have
}

// joinOpen makes one mistake of open pins that lie side by side.
func joinOpen(groups []group, nets []int) []group {
	at := func(g group) int { return slices.Index(nets, g.moved[0].net) }
	slices.SortStableFunc(groups, func(a, b group) int { return at(a) - at(b) })
	var joined []group
	last := -2
	for _, g := range groups {
		n := len(joined) - 1
		if g.rule == "pin-open" && n >= 0 && at(g) == last+1 {
			joined[n].rule = "group-open"
			joined[n].moved = append(joined[n].moved, g.moved...)
		} else {
			joined = append(joined, g)
		}
		if last = -2; g.rule == "pin-open" {
			last = at(g)
		}
	}
	return joined
}

// groupGaps sorts gaps into mistakes: gaps of one kind along a run, and gaps
// that one row of the relay has made.
func (m *model) groupGaps(gaps []gap) []group {
	byKey := map[string]*group{}
	var order []*group
	for _, g := range gaps {
		key := m.key(g)
		if byKey[key] == nil {
			byKey[key] = &group{}
			order = append(order, byKey[key])
		}
		byKey[key].gaps = append(byKey[key].gaps, g)
	}
	var merged []*group
	for _, g := range order {
		i := slices.IndexFunc(merged, func(o *group) bool { return shareRow(o, g) })
		if i < 0 {
			merged = append(merged, g)
		} else {
			merged[i].gaps = append(merged[i].gaps, g.gaps...)
		}
	}
	merged = m.mergeAstray(merged)
	var groups []group
	for _, g := range merged {
		if g.rule = m.nameGaps(g.gaps); g.astray {
			g.rule = m.astrayRule(g.gaps)
		}
		groups = append(groups, *g)
	}
	return groups
}

func shareRow(a, b *group) bool {
	for _, g := range a.gaps {
		for _, h := range b.gaps {
			if len(g.from) > 0 && len(h.from) > 0 && g.from[0].Row == h.from[0].Row {
				return true
			}
		}
	}
	return false
}

// key is the same for gaps of one kind along a run.
func (m *model) key(g gap) string {
	at, base := "line "+g.line.line, g.line.note
	if g.site != nil {
		at, base = fmt.Sprint(m.lane(g.site.item, g.site.net)), g.site.item.Note
	}
	if g.want != nil {
		return at + " want " + m.relative(g.want, base)
	}
	return at + " got " + m.relative(g.got, base)
}

// relative writes a term so that it reads the same all along a run.
func (m *model) relative(term []part, base int) string {
	var words []string
	picks := false
	for _, p := range term {
		word := ""
		switch is, named := m.names[p.class]; {
		case named && is.family < len(m.in.Controls):
			word = fmt.Sprintf("c%d", is.family)
		case p.not:
			picks = true
			continue
		case named:
			word = fmt.Sprintf("f%d%+d", is.family, is.note-base)
		default:
			word = "?"
		}
		if p.not {
			word = "!" + word
		}
		words = append(words, word)
	}
	if picks {
		words = append(words, "picks")
	}
	slices.Sort(words)
	return strings.Join(words, "&")
}
