package listen

import (
	"math"
	"slices"

	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// mostApart is up to how many causes are looked into one by one, when all that is
// in the pool sounds alike with them.
const mostApart = 16

// showApart adds a state to the pool in which two of the causes differ that have
// sounded alike so far; false when there is none.
func (q *Inquiry) showApart() bool {
	for _, a := range q.alike {
		var names []string
		for _, c := range a.causes[:min(mostApart, len(a.causes))] {
			cause := q.Causes[c]
			if name := cause.Fault.Class + cause.Fault.Where; !slices.Contains(names, name) {
				names = append(names, name)
			} else {
				continue
			}
			if len(names) == 1 {
				continue
			}
			first := q.Causes[a.causes[0]]
			state, is := q.l.differ(first.Relay(), cause.Relay())
			if !is {
				continue
			}
			n := len(q.pool.tries)
			q.pool.add(state)
			q.pool.add(Try{q.l.draws(state.Draw...), state.Held})
			if len(q.pool.tries) == n {
				continue
			}
			alike := len(q.alike)
			if q.group(); len(q.alike) > alike {
				return true
			}
			return q.showApart()
		}
	}
	return false
}

// differ is a state in which two relays open other valves, the smallest for some
// valve; false when there is none, or a search was given up.
func (l *Listener) differ(a, b *wiring.Relay) (Try, bool) {
	v := equation.NewVariables(l.in)
	w := logic.New(v.Count)
	one := equation.AddRelay(w, a, v.Contacts(w, a)).Valves(l.in)
	other := equation.AddRelay(w, b, v.Contacts(w, b)).Valves(l.in)
	if _, loop := w.Levels(); loop != nil {
		return Try{}, false
	}
	w = w.Simplify(nil)
	levels, _ := w.Levels()
	class := w.Classes(nil)
	d := logic.NewDecider(w, class, logic.NewEvaluator(w, levels), len(l.in.Controls))
	d.Tries, d.Budget = 2000, 1_000_000
	for i := range one {
		if class[one[i]] == class[other[i]] {
			continue
		}
		state, verdict := d.Differ(one[i], other[i], math.MaxInt)
		if verdict != logic.Different {
			continue
		}
		s := v.State(state)
		t := Try{Held: s.Held}
		for c, on := range s.Drawn {
			if on {
				t.Draw = append(t.Draw, c)
			}
		}
		return t, true
	}
	return Try{}, false
}
