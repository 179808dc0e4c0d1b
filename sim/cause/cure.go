package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// layer is where the rows stand that a cure changes.
type layer string

const (
	inWiring    layer = "wiring"
	inSwitching layer = "switching"
	inJoins     layer = "joins"
)

// cureMoved cures what is moved where it is most likely to have been.
func (m *model) cureMoved(g group) suspect {
	for _, in := range m.blame(g.moved) {
		if s := m.curedIn(in, g); s.cured {
			return m.told(s)
		}
	}
	return suspect{group: g}
}

// curedIn cures what is moved in one layer, if that can be.
func (m *model) curedIn(in layer, g group) suspect {
	s := suspect{group: g, layer: in}
	switch in {
	case inWiring:
		s.cure, s.cured = m.rehang(g.moved)
	case inJoins:
		s.cure, s.cured = m.rejoin(g.moved)
	case inSwitching:
		s.cure, s.cured = m.repin(g.moved)
	}
	return s
}

// blame orders the layers in which something may have been moved, the
// likeliest first. What was soldered otherwise than planned is wrong as it was
// soldered. Otherwise rows are written in runs, and a mistake breaks the runs
// of the layer in which it was made.
func (m *model) blame(entries []moved) []layer {
	if slices.ContainsFunc(entries, func(e moved) bool { return e.net < 0 }) {
		return []layer{inSwitching, inWiring, inJoins}
	}
	if m.r.Wired != nil && m.departs(entries) {
		return []layer{inWiring, inJoins, inSwitching}
	}
	nets := map[int]bool{}
	for _, e := range entries {
		nets[e.net] = true
	}
	broken := map[layer]int{}
	touches := func(pins []wiring.Terminal) bool {
		return slices.ContainsFunc(pins, func(t wiring.Terminal) bool { return nets[m.rel.Nets.Of(t)] })
	}
	for _, row := range m.r.Soldered() {
		if touches(row.Pins) {
			broken[inWiring] += max(runsOf(row.Pins), itemRuns(row.Items)) - 1
		}
	}
	for _, s := range m.r.Switch {
		if s.Kind != wiring.Couple && touches(s.Pins) {
			broken[inSwitching] += max(runsOf(s.Pins), noteRuns(s.Notes)) - 1
		}
	}
	for _, j := range m.r.Joins {
		if touches(j.From) {
			broken[inJoins] += max(runsOf(j.From), runsOf(j.To)) - 1
		}
	}
	order := []layer{inWiring, inJoins, inSwitching}
	switch {
	case m.r.Derived:
		order = []layer{inWiring, inJoins}
	case m.r.Wired != nil:
		order = []layer{inSwitching, inJoins, inWiring}
	}
	slices.SortStableFunc(order, func(a, b layer) int { return broken[b] - broken[a] })
	return order
}

// departs reports whether the plan hangs on some of these pins what the relay
// uses them for, or does not hang there what hangs there.
func (m *model) departs(entries []moved) bool {
	for _, e := range entries {
		hangs := func(item wiring.Item) bool {
			return slices.ContainsFunc(m.plan.Hung(e.net), func(h wiring.Hung) bool { return m.plan.Item(h) == item })
		}
		if e.means != nothing && hangs(e.means) || e.have != nothing && !hangs(e.have) {
			return true
		}
	}
	return false
}

// runsOf counts the runs of pins that a row writes.
func runsOf(pins []wiring.Terminal) int {
	return runs(len(pins), func(i int) int { return pins[i].On*100_000 + pins[i].Pin })
}

func itemRuns(items []wiring.Item) int {
	return runs(len(items), func(i int) int { return items[i].Note })
}

func noteRuns(notes []console.Note) int {
	return runs(len(notes), func(i int) int { return int(notes[i]) })
}

// runs counts the runs of one step that n numbers fall into.
func runs(n int, number func(int) int) int {
	count, step := 0, 0
	for i := range n {
		if i > 0 && count > 0 && (step == 0 || number(i)-number(i-1) == step) {
			step = number(i) - number(i-1)
			continue
		}
		count, step = count+1, 0
	}
	return count
}
