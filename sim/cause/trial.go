package cause

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// word has a bit for each of 64 states.
type word = uint64

// states is how many states a trial has.
const states = 64

// trial is states that witness what is wrong with a relay, and what should be
// open in them. A proof takes too long to say of thousands of changes whether
// one cures a relay; a trial soon says which do not.
type trial struct {
	in   *console.Instrument
	v    equation.Variables
	vars []word // by variable: the states in which it is true
	want []word // by valve: the states in which it should be open

	things *things
}

// newTrials are so many trials: the first in states of which as many as can be
// are witnesses, of each sort by turns, the others in states like them.
func newTrials(in *console.Instrument, count int, witnesses ...map[int][]logic.Node) []*trial {
	v := equation.NewVariables(in)
	w := logic.New(v.Count)
	inst := equation.AddInstrument(w, v)
	levels, _ := w.Levels()
	eval := logic.NewEvaluator(w, levels)
	s := sampler{rand.New(rand.NewPCG(1, 1)), in, v, nil} // the same sample every time
	sorts := make([][][]logic.Node, len(witnesses))
	for i, w := range witnesses {
		sorts[i] = s.spread(w)
	}
	for n := range states * count {
		for _, sort := range sorts {
			if n < len(sort) {
				s.witnesses = append(s.witnesses, sort[n])
			}
		}
	}
	var trials []*trial
	for n := range count {
		t := &trial{in: in, v: v, vars: make([]word, v.Count), want: make([]word, in.Valves)}
		for bit := range states {
			state := s.state(n*states + bit)
			for _, n := range state {
				t.vars[n] |= 1 << bit
			}
			eval.Set(state)
			for valve, node := range inst.Valves {
				if eval.Value(node) {
					t.want[valve] |= 1 << bit
				}
			}
		}
		t.things = t.thingsOf()
		trials = append(trials, t)
	}
	return trials
}

// sampler chooses states.
type sampler struct {
	*rand.Rand
	in        *console.Instrument
	v         equation.Variables
	witnesses [][]logic.Node
}

// spread orders witnesses so that a few of them soon have some of every
// keyboard and every set of controls.
func (s *sampler) spread(witnesses map[int][]logic.Node) (spread [][]logic.Node) {
	var valves []int
	for v := range witnesses {
		valves = append(valves, v)
	}
	slices.Sort(valves)
	s.Shuffle(len(valves), func(i, j int) { valves[i], valves[j] = valves[j], valves[i] })
	type ranked struct {
		turn  int
		state []logic.Node
	}
	var list []ranked
	known, turns := map[string]bool{}, map[string]int{}
	for _, valve := range valves {
		state := witnesses[valve]
		if key := fmt.Sprint(state); !known[key] {
			known[key] = true
			shape := s.shape(state)
			turns[shape]++
			list = append(list, ranked{turns[shape], state})
		}
	}
	slices.SortStableFunc(list, func(a, b ranked) int { return a.turn - b.turn })
	for _, l := range list {
		spread = append(spread, l.state)
	}
	return spread
}

// shape is a state without the notes of its keys.
func (s *sampler) shape(state []logic.Node) string {
	var shape []int
	for _, n := range state {
		if item := s.v.Item(n); item.Kind == wiring.ControlKind {
			shape = append(shape, item.Index)
		} else {
			shape = append(shape, -1-item.Index)
		}
	}
	return fmt.Sprint(shape)
}

// state is a witness, or one with a thing or two more and perhaps one less.
func (s *sampler) state(n int) []logic.Node {
	if n < len(s.witnesses) {
		return s.witnesses[n]
	}
	var state []logic.Node
	if len(s.witnesses) > 0 {
		state = slices.Clone(s.witnesses[s.IntN(len(s.witnesses))])
	}
	if len(state) > 1 && s.IntN(3) == 0 {
		i := s.IntN(len(state))
		state = slices.Delete(state, i, i+1)
	}
	for range 1 + s.IntN(2) {
		among := s.v.Count
		if controls := len(s.in.Controls); controls > 0 && s.IntN(2) == 0 {
			among = controls
		}
		state = append(state, logic.Node(s.IntN(among)))
	}
	slices.Sort(state)
	return slices.Compact(state)
}
