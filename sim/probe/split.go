package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Group is mistakes that nothing a console can do tells apart: with each, the
// relay opens the same valves in every state of keys and controls.
type Group struct {
	Faults []fault.Fault // the likeliest first
	Proven bool          // false where the search for a state that tells them apart was given up
}

// Split plans the chords that tell apart what a first plan did not: of any two
// of the mistakes left some chord is answered differently, unless they are of
// one group. With the first plan's plug in it is a state in which nothing feeds back
// in the relay that should be there.
func Split(p Plan, r *wiring.Relay, in *console.Instrument, left []fault.Fault) (Plan, []Group) {
	loop := p.Loop
	s := &splitter{in: in, plan: Plan{Loop: loop}, guard: guard{CompileWith(r, in, loop), loop, listMovers(in)}}
	for _, f := range left {
		s.compiled, s.relays = append(s.compiled, CompileWith(f.Relay, in, loop)), append(s.relays, f.Relay)
	}
	if s.compared = in; len(loop) > 0 {
		s.compared, s.relays = withPlug(in, loop, s.relays...)
	}
	all := make([]int, len(left))
	for i := range all {
		all[i] = i
	}
	open := [][]int{all}
	var groups []Group
	for len(open) > 0 {
		members := open[0]
		open = open[1:]
		if len(members) == 0 {
			continue
		}
		parts, proven := s.part(members)
		if len(parts) > 1 {
			open = append(open, parts...)
			continue
		}
		g := Group{Proven: proven}
		for _, i := range members {
			g.Faults = append(g.Faults, left[i])
		}
		slices.SortStableFunc(g.Faults, likelier)
		groups = append(groups, g)
	}
	slices.SortStableFunc(groups, func(a, b Group) int { return likelier(a.Faults[0], b.Faults[0]) })
	return s.plan, groups
}

// Narrow are the groups that give the answers which a plan of Split got: one, if
// there is but one mistake.
func Narrow(p Plan, in *console.Instrument, groups []Group, got Answers) (left []Group) {
	for _, g := range groups {
		if len(Differ(Simulate(p, g.Faults[0].Relay, in), got)) == 0 {
			left = append(left, g)
		}
	}
	return left
}

// splitter parts mistakes.
type splitter struct {
	in       *console.Instrument
	guard    guard // of the relay without a mistake
	compiled []*Running
	plan     Plan

	compared *console.Instrument // what is compared: with a plug in, another one
	relays   []*wiring.Relay
}

// part looks for a state that tells the first of some mistakes from another, and
// parts all of them by what they do in it.
func (s *splitter) part(members []int) (parts [][]int, proven bool) {
	proven = true
	for _, other := range members[1:] {
		verdict, state := proof.Alike(s.compared, s.relays[members[0]], s.relays[other])
		switch verdict {
		case proof.Different:
			if parts = s.press(members, state); len(parts) > 1 {
				return parts, true
			}
			proven = false
		case proof.NotDecided:
			proven = false
		}
	}
	return [][]int{members}, proven
}

// press parts some mistakes by what they do in a state, and adds it to the plan if
// it does part them. A state in which something feeds back is changed before.
func (s *splitter) press(members []int, state console.State) (parts [][]int) {
	var draw []int
	for c, on := range state.Drawn {
		if on {
			draw = append(draw, c)
		}
	}
	if len(s.plan.Loop) > 0 {
		if draw = s.guard.without([][]int{append([]int{}, draw...)})[0]; draw == nil {
			return nil
		}
	}
	var opened []Set
	for _, i := range members {
		open := s.compiled[i].Run(state.Held, draw)
		at := slices.IndexFunc(opened, func(known Set) bool { return slices.Equal(known, open) })
		if at < 0 {
			at = len(opened)
			opened, parts = append(opened, open), append(parts, nil)
		}
		parts[at] = append(parts[at], i)
	}
	if len(parts) > 1 {
		s.plan.Steps = append(s.plan.Steps, Step{draw, [][]console.Held{state.Held}})
	}
	return parts
}
