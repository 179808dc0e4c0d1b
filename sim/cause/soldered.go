package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// departed are the mistakes of soldering that the plan shows: as few as the
// plan is kept by, those that move most first. The valves are those that
// differ when they are mended.
func departed(in *console.Instrument, r *wiring.Relay, differing []int) ([]suspect, []int) {
	if r.Wired == nil {
		return nil, differing
	}
	best := unsoldered(in, r, 100)
	if len(best) > 2 {
		const some = 85 // in a hundred: another mistake may have moved the others
		if most := unsoldered(in, r, some); len(most) < len(best) {
			best = most
		}
		best = behind(in, r, best)
	}
	if len(best) == 0 {
		return nil, differing
	}
	return best, proof.Differing(in, apply(r, best))
}

// unsoldered takes what has moved as one back to where the plan has it, as
// long as so many in a hundred of it then hang as planned; the others are told
// one by one.
func unsoldered(in *console.Instrument, r *wiring.Relay, right int) (all []suspect) {
	const times = 4
	for range times {
		now := apply(r, all)
		g := newPlanned(in, now)
		g.atWiring()
		g.guesses = slices.DeleteFunc(g.guesses, func(x guess) bool { return x.gone*100 < x.size*right || x.more > 0 })
		if len(g.guesses) == 0 {
			break
		}
		x := slices.MaxFunc(g.guesses, func(a, b guess) int { return a.gone - b.gone })
		if x.gone < 3 {
			break
		}
		all = carry(r, all, newModel(in, now).guessed([]guess{x}))
	}
	m := newModel(in, apply(r, all))
	var rest []suspect
	for _, e := range m.groupMoved(m.departures()) {
		if s := m.cureMoved(e); s.cured {
			rest = append(rest, s)
		}
	}
	return carry(r, all, rest)
}

// behind looks for fewer mistakes than some: one that moves much, though little
// of it hangs as planned when it is mended, and those that are then seen.
func behind(in *console.Instrument, r *wiring.Relay, best []suspect) []suspect {
	const tried = 8
	g := newPlanned(in, r)
	g.atWiring()
	slices.SortStableFunc(g.guesses, func(a, b guess) int { return b.gone - b.more - a.gone + a.more })
	for _, x := range g.guesses[:min(tried, len(g.guesses))] {
		if len(best) <= 2 {
			break
		}
		first := newModel(in, r).guessed([]guess{x})
		if all := carry(r, first, unsoldered(in, apply(r, first), 100)); len(all) < len(best) {
			best = all
		}
	}
	return best
}

// newPlanned makes guesses that are judged by the plan.
func newPlanned(in *console.Instrument, r *wiring.Relay) *guesser {
	t := &trial{in: in, v: equation.NewVariables(in)}
	t.vars = make([]word, t.v.Count)
	t.things = t.thingsOf()
	g := &guesser{in: in, r: r, trial: t, things: t.things, w: t.things.wire(r), planned: map[hang]bool{}}
	plan := wiring.NetsOf(r, r.Plan)
	for _, row := range r.Plan {
		for at := range min(len(row.Pins), len(row.Items)) {
			if thing, known := g.things.number[row.Items[at]]; known {
				g.planned[hang{thing, plan.Of(row.Pins[at])}] = true
			}
		}
	}
	return g
}

// asPlanned is the outcome of hanging things on other nets: how many then hang
// as planned that did not, and the other way round.
func (g *guesser) asPlanned(onto map[int]int) outcome {
	var o outcome
	for place, net := range onto {
		h := g.w.hangs[place]
		if h.thing < 0 {
			continue
		}
		o.moved++
		was, is := g.planned[h], g.planned[hang{h.thing, net}]
		if is && !was {
			o.gone++
		} else if was && !is {
			o.fresh++
		}
	}
	return o
}

// departures finds where the wiring as soldered departs from the plan, in what
// the proof looks at: the pins are used as planned.
func (m *model) departures() []moved {
	var all []moved
	for net := range m.rel.Nets.Len() {
		_, input := m.rel.Nets.Pin(net, wiring.Input)
		means, have := m.counted(m.plan, net), m.counted(m.rel.Nets, net)
		var shared []wiring.Item
		for _, item := range means {
			if slices.Contains(have, item) {
				shared = append(shared, item)
			}
		}
		apart := func(items []wiring.Item) []wiring.Item {
			return slices.DeleteFunc(items, func(item wiring.Item) bool { return slices.Contains(shared, item) })
		}
		means, have = apart(means), apart(have)
		for i := range max(len(means), len(have)) {
			e := moved{net: net, input: input}
			if i < len(means) {
				e.means = means[i]
			} else if len(shared) > 0 {
				e.means, e.extra = shared[0], true
			}
			if i < len(have) {
				e.have = have[i]
			}
			all = append(all, e)
		}
	}
	return all
}

// counted are the different things on a net that the proof looks at.
func (m *model) counted(nets *wiring.Netlist, net int) []wiring.Item {
	var list []wiring.Item
	if net < 0 {
		return nil
	}
	for _, h := range nets.Hung(net) {
		if item := nets.Item(h); counts(m.in, item) && !slices.Contains(list, item) {
			list = append(list, item)
		}
	}
	return list
}

// counts reports whether a proof looks at a thing. The contacts of ventils and
// tremulants work the wind, on which no valve depends.
func counts(in *console.Instrument, item wiring.Item) bool {
	switch item.Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
		return true
	case wiring.ControlKind:
		kind := in.Controls[item.Index].Kind
		return kind != console.VentilControl && kind != console.TremulantControl
	}
	return false
}
