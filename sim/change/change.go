// Package change says how two instruments differ in what sounds, after a
// change order, what there is to solder at a relay that played the old one, and
// what to write in its tables.
//
// Things of the two match by their ids, pipes by rank and note. What is
// compared is what every state of keys and controls opens, and what then
// speaks and how high; crescendo, tutti and pistons only work controls and are
// left out.
package change

import (
	"trundle/console"
	"trundle/sim/logic"
)

// What happened to a thing.
type What string

const (
	Added   What = "added"
	Removed What = "removed"
	Changed What = "changed"
)

// Difference is one thing that was added, taken away, or sounds differently.
type Difference struct {
	What    What
	Kind    string // stop, coupler, unison-off, ventil, keys, rank...
	ID      string // "" for what several controls do together, or keys alone
	Name    string // as the instrument calls it, "" without one
	Detail  string // what is different, in words; may be empty
	Count   int    // places where it is: line notes of a stop or coupler, pipes of a rank
	Example *Example
	Also    *Example // of what is changed, where Example shows only what is gone, or only what is new: the other half
}

// Example is the smallest state in which a difference sounds. The lists are
// what the flags --draw and --play take.
type Example struct {
	Draw, Play    []string
	Before, After []string // pipes that sounded and do not any more, and that now sound, as rank:number
}

// Verdict is the answer of a comparison.
type Verdict string

const (
	Equal      Verdict = "equal"
	Different  Verdict = "different"
	NotDecided Verdict = "not-decided"
)

// Result is what a comparison found. Differences without an Example sound
// nothing different, unless their Detail says what.
type Result struct {
	Verdict     Verdict
	Reason      string
	Differences []Difference
}

// Compare compares two instruments that have no errors.
func Compare(old, new *console.Instrument) Result {
	c := newComparison(old, new)
	c.controls()
	c.stops()
	c.lines()
	c.pipes()
	c.wind()
	c.also()
	result := Result{Verdict: Equal, Differences: c.found}
	for _, d := range c.found {
		if d.Example != nil || d.Detail != "" {
			result.Verdict = Different
		}
	}
	if c.undecided {
		result.Verdict, result.Reason = NotDecided, "the search was given up before it ended"
	}
	return result
}

// comparison is two instruments in one network.
type comparison struct {
	old, new side
	names    []string // by variable: a control, or a key as --play takes it
	minor    int      // variables that are controls

	decider *logic.Decider
	class   []int32
	never   logic.Node
	known   map[[2]logic.Node]answer

	found     []Difference
	undecided bool
}

type answer struct {
	state   []logic.Node
	verdict logic.Verdict
}

// differ is the smallest state in which two nodes differ; ok is false when
// there is none.
func (c *comparison) differ(a, b logic.Node) (state []logic.Node, ok bool) {
	if c.class[a] == c.class[b] {
		return nil, false
	}
	key := [2]logic.Node{min(a, b), max(a, b)}
	found, known := c.known[key]
	if !known {
		found.state, found.verdict = c.decider.Differ(a, b, len(c.names))
		c.known[key] = found
	}
	c.undecided = c.undecided || found.verdict == logic.Undecided
	return found.state, found.verdict == logic.Different
}
