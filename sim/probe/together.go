package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// Mistake is one of several that are made in a relay together.
type Mistake struct {
	Ways []fault.Fault // what it may be, the likeliest first; each relay has the other mistakes too
	With *wiring.Relay // the relay with the others alone; where there is but one way it may lack some
}

// mostMistakes is how many are looked for.
const mostMistakes = 8

// weights are by how much more it tells against a mistake that it would make wrong
// what was right than for it that it accounts for what was wrong: first much more;
// then no more, for mistakes that hide each other.
var weights = []int{4, 1}

// Together finds the mistakes in a relay that together account for what it was
// seen to do, and what they leave unaccounted for: one, if one does alone; else
// again and again the one that accounts for most of what is left. All of them are
// made in one relay, which gives the answers except for what is left.
func Together(p Plan, r *wiring.Relay, in *console.Instrument, got Answers) (list []Mistake, left []Wrong) {
	left = Differ(Simulate(p, r, in), got)
	if ways := Diagnose(p, r, in, got); len(left) == 0 || len(ways) > 0 {
		return one(ways, r), nil
	}
	var made []fault.Fault
	var x *wiring.Relay
	for _, weight := range weights {
		some, with, rest := peel(p, r, in, got, weight)
		if made == nil || len(rest) < len(left) {
			made, x, left = some, with, rest
		}
		if len(rest) == 0 {
			break
		}
	}
	if len(left) == 0 {
		if list, is := settle(p, r, in, got, made); is {
			return list, nil
		}
	}
	for _, f := range made {
		f.Relay = x
		list = append(list, Mistake{[]fault.Fault{f}, r})
	}
	return list, left
}

func one(ways []fault.Fault, r *wiring.Relay) []Mistake {
	if len(ways) == 0 {
		return nil
	}
	return []Mistake{{ways, r}}
}

// peel takes mistake after mistake off what is wrong.
func peel(p Plan, r *wiring.Relay, in *console.Instrument, got Answers, weight int) (made []fault.Fault, with *wiring.Relay, left []Wrong) {
	for {
		if left = Differ(Simulate(p, r, in), got); len(left) == 0 || len(made) == mostMistakes {
			return made, r, left
		}
		if ways := Diagnose(p, r, in, got); len(ways) > 0 {
			return append(made, ways[0]), ways[0].Relay, nil
		}
		f, found := newDiagnosis(p, CompileWith(r, in, p.Loop), left, got).most(fault.Sites(r, in), weight)
		if !found {
			return made, r, left
		}
		made, r = append(made, f), f.Relay
	}
}

// settle finds for each mistake whatever does the same beside the others; one that
// is not needed beside them is left out. False where they cannot be made in
// another order, so that each is only what it was found to be.
func settle(p Plan, r *wiring.Relay, in *console.Instrument, got Answers, made []fault.Fault) (list []Mistake, is bool) {
	for i := 0; i < len(made); {
		with, is := Make(r, in, slices.Concat(made[:i], made[i+1:]))
		if !is {
			return nil, false
		}
		if len(Differ(Simulate(p, with, in), got)) == 0 {
			made = slices.Delete(slices.Clone(made), i, i+1)
			continue
		}
		ways := Diagnose(p, with, in, got)
		if len(ways) == 0 {
			return nil, false
		}
		made[i] = ways[0]
		list = append(list, Mistake{ways, with})
		i++
	}
	return list, true
}

// Make makes several mistakes in a relay, one after the other; false, and the relay
// as far as it came, where one cannot be made beside those before it.
func Make(r *wiring.Relay, in *console.Instrument, list []fault.Fault) (*wiring.Relay, bool) {
	for _, f := range list {
		made := false
		for _, s := range fault.Sites(r, in) {
			for i := 0; i < s.Count && !made && s.Class == f.Class && s.In == f.In; i++ {
				if n := s.Named(i); n.Where == f.Where && slices.Equal(n.Pins, f.Pins) {
					r, made = s.Way(i).Relay, true
				}
			}
		}
		if !made {
			return r, false
		}
	}
	return r, true
}
