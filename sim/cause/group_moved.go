package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// group is what one mistake has done.
type group struct {
	rule  string
	moved []moved
	gaps  []gap

	astray bool // gaps of one line that has lost what another has gained
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
	if _, is := m.matrixWires(entries); is {
		return []group{{rule: "pins-swapped", moved: entries}}
	}
	nets := m.laneNets(l, entries)
	for _, nets := range append([][]int{nets}, m.rowNets(entries)...) {
		if rule := m.patternOf(nets, entries); rule != "" {
			return []group{{rule: rule, moved: entries}}
		}
	}
	if rule := misnumbered(entries); rule != "" {
		return []group{{rule: rule, moved: entries}}
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

// misnumbered names what hangs as many notes off on every pin.
func misnumbered(entries []moved) string {
	by := entries[0].have.Note - entries[0].means.Note
	odd := slices.ContainsFunc(entries, func(e moved) bool {
		return e.have.Note == 0 || e.means.Note == 0 || e.have.Note-e.means.Note != by
	})
	switch {
	case odd || len(entries) < 3:
		return ""
	case by == 12 || by == -12:
		return "octave-off"
	}
	return "run-shifted"
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
