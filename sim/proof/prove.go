// Package proof proves a relay against an instrument: every valve equal for
// every set of held keys and every set of controls that are on, or the
// smallest state in which one is not.
//
// Both are put into one boolean network and compared by form; only what
// differs in form is searched. Wind, time, the crescendo, the tutti and the
// transposer are outside: what is on counts, however it came on.
package proof

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Verdict is the answer of a proof.
type Verdict string

const (
	Equal      Verdict = "equal"
	Different  Verdict = "different"
	NotDecided Verdict = "not-decided"
	NotRun     Verdict = "not-run"
)

// Result is what a proof found.
type Result struct {
	Verdict        Verdict
	Reason         string          // why it is not decided, wholly or for some valves, or was not run
	Outputs        int             // valves compared
	Variables      int             // keys and controls: two to this power states were covered
	Differing      []int           // valves that differ in some state, ascending
	Undecided      []int           // valves for which the search was given up
	Outside        map[string]int  // pins of each wiring kind that the proof does not look at
	Counterexample *Counterexample // the smallest state of all, nil unless different
}

// Counterexample is a state in which relay and instrument differ, and how.
type Counterexample struct {
	State          console.State
	Missing, Extra []int // valves that should open and do not, and the other way round
}

// Question is an instrument and a relay in one network, ready to be compared
// valve by valve. Its answers may be asked for at the same time.
type Question struct {
	in        *console.Instrument
	r         *wiring.Relay
	v         equation.Variables
	want, got []logic.Node // by valve
	net       *network     // nil when a row picks from its own outcome
}

// Ask puts an instrument and a relay, with the wiring as soldered, into one
// network.
func Ask(in *console.Instrument, r *wiring.Relay) *Question {
	q := &Question{in: in, r: r, v: equation.NewVariables(in)}
	if len(wiring.OwnOutcome(r.Switch)) > 0 {
		return q
	}
	w := logic.New(q.v.Count)
	q.want = equation.AddInstrument(w, q.v).Valves
	q.got = equation.AddRelay(w, r, q.v.Contacts(w, r)).Valves(in)
	q.net = newNetwork(w)
	return q
}

// Prove compares the relay, with the wiring as soldered, with the instrument.
func Prove(in *console.Instrument, r *wiring.Relay) Result { return Ask(in, r).Prove() }

// Differing are the valves that differ in some state, ascending, and those for
// which a short search does not tell: what is not among them is proven equal.
func Differing(in *console.Instrument, r *wiring.Relay) []int { return Ask(in, r).Differing() }

// Prove is the whole answer, with the smallest state in which a valve differs.
func (q *Question) Prove() Result {
	result := Result{Outputs: q.in.Valves, Variables: q.v.Count, Outside: outside(q.r)}
	if q.net == nil {
		result.Verdict, result.Reason = NotDecided, "a row that picks depends on its own outcome"
		return result
	}
	c := newComparison(q.net, len(q.in.Controls))
	var smallest []logic.Node
	result.Differing, result.Undecided, smallest = c.all(q.want, q.got)
	switch undecided := len(result.Undecided); {
	case len(result.Differing) > 0:
		result.Verdict = Different
		if undecided > 0 {
			result.Reason = fmt.Sprintf("%d more could not be decided, and a smaller case may exist", undecided)
		}
		if result.Counterexample = confirm(q.in, q.r, q.v.State(smallest)); result.Counterexample == nil {
			result.Verdict, result.Reason = NotDecided, "running the relay does not confirm the difference found; please report this"
		}
	case undecided > 0:
		result.Verdict, result.Reason = NotDecided, "the search was given up before it ended"
	default:
		result.Verdict = Equal
	}
	return result
}

// Differing is the short answer of the function of that name.
func (q *Question) Differing() []int {
	differing, _ := q.Short()
	return differing
}

// short is a comparison that does not search for long.
func (q *Question) short() *comparison {
	c := newComparison(q.net, len(q.in.Controls))
	c.most, c.decider.Tries, c.decider.Budget, c.decider.Replays = 0, 30, 60_000, 0
	return c
}

// Witnesses are states in which valves differ, as Short has them.
func (q *Question) Witnesses() map[int][]logic.Node {
	_, states := q.Short()
	return states
}

// Short is what Differing says, with states in which valves differ, by valve,
// each as the variables that are true. A valve for which a short search does not
// tell has none.
func (q *Question) Short() (differing []int, states map[int][]logic.Node) {
	states = map[int][]logic.Node{}
	if q.net == nil {
		for v := range q.in.Valves {
			differing = append(differing, v)
		}
		return differing, states
	}
	c := q.short()
	c.markInner(q.want, q.got)
	for v := range q.want {
		a := c.valve(q.want[v], q.got[v])
		if a.verdict != logic.Equal {
			differing = append(differing, v)
		}
		if a.verdict == logic.Different {
			states[v] = a.state
		}
	}
	return differing, states
}

// confirm runs relay and instrument in a state, by the definition of each, and
// says how they differ; nil when they do not.
func confirm(in *console.Instrument, r *wiring.Relay, s console.State) *Counterexample {
	c := &Counterexample{State: s}
	want, got := plain.Open(in, s), wiring.Run(r, in, s).Open
	for v := range want {
		if want[v] && !got[v] {
			c.Missing = append(c.Missing, v)
		} else if got[v] && !want[v] {
			c.Extra = append(c.Extra, v)
		}
	}
	if c.Missing == nil && c.Extra == nil {
		return nil
	}
	return c
}

// proven are the wiring kinds that the proof looks at, and those of Magnets.
var proven = []wiring.Kind{wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.StopKind, wiring.CouplerKind,
	wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind,
	wiring.VentilKind, wiring.TremulantKind, wiring.SpareKind}

func outside(r *wiring.Relay) map[string]int {
	count := map[string]int{}
	for _, row := range r.Soldered() {
		input := len(row.Items) > 0 && row.Items[0].Kind == wiring.ControlKind
		if !input && !slices.Contains(proven, row.Kind) {
			count[string(row.Kind)] += len(row.Pins)
		}
	}
	return count
}
