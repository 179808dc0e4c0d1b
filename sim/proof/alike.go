package proof

import (
	"slices"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Alike compares two relays of an instrument with each other: Equal when they
// open the same valves in every state of keys and controls, Different with a
// state in which they do not, as both run in it.
func Alike(in *console.Instrument, a, b *wiring.Relay) (Verdict, console.State) {
	if len(wiring.OwnOutcome(a.Switch)) > 0 || len(wiring.OwnOutcome(b.Switch)) > 0 {
		return NotDecided, console.State{}
	}
	q := &Question{in: in, v: equation.NewVariables(in)}
	w := logic.New(q.v.Count)
	q.want = equation.AddRelay(w, a, q.v.Contacts(w, a)).Valves(in)
	q.got = equation.AddRelay(w, b, q.v.Contacts(w, b)).Valves(in)
	q.net = newNetwork(w)
	for _, c := range []*comparison{q.short(), newComparison(q.net, len(in.Controls))} {
		differing, undecided, smallest := c.all(q.want, q.got)
		if len(differing) > 0 {
			state := q.v.State(smallest)
			if slices.Equal(wiring.Run(a, in, state).Open, wiring.Run(b, in, state).Open) {
				return NotDecided, console.State{}
			}
			return Different, state
		}
		if len(undecided) == 0 {
			return Equal, console.State{}
		}
	}
	return NotDecided, console.State{}
}
