package probe

import (
	"cmp"
	"slices"

	"trundle/sim/fault"
)

// likely are the classes of mistakes, the likeliest first (common practice, no
// source): what a hand does in one place, then what happens to a cable or a
// plug, then what is planned or typed wrongly. Of two names for one thing the
// narrower comes first.
var likely = []string{
	"pins-swapped", "pin-open", "pins-bridged",
	"octave-off", "pair-exchanged", "order-reversed", "run-shifted", "wires-off", "sides-mixed",
	"keyboards-swapped", "ranks-swapped", "plugs-swapped", "wrong-carries", "row-missing", "group-open", "boards-swapped",
	"unison-off-missing", "unison-off-extra", "wrong-picks", "wrong-shift", "wrong-direction", "wrong-keyboard", "wrong-division",
	"literal-missing", "literal-inverted", "wrong-control", "literal-extra",
}

// tables are where mistakes are made, the likeliest first: by soldering more
// often than in joins that are laid once, and there than in a table that a
// program has written (common practice, no source).
var tables = []fault.Table{fault.Soldered, fault.Joined, fault.Switching}

// likelier orders mistakes by how likely they are: by table, by class, by how
// little they move.
func likelier(a, b fault.Fault) int {
	return cmp.Or(
		cmp.Compare(slices.Index(tables, a.In), slices.Index(tables, b.In)),
		cmp.Compare(slices.Index(likely, a.Class), slices.Index(likely, b.Class)),
		cmp.Compare(len(a.Pins), len(b.Pins)))
}
