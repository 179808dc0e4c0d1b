// Package cause explains the differences that a proof finds: the fewest
// things to mend that account for them, each with its place in the files and
// on the pins, and the rows that cure it.
//
// It works in two ways. It compares instrument and relay piece by piece, from
// what each output pin should do down to the contacts, and takes what lies
// below a piece as right while it looks at that piece (model, match, look). And
// it makes guesses: every mistake of every kind that the rows allow is mended
// in a copy, and tried in many states at once (guess, trial); what does well is
// proven. One mistake that accounts for all is said rather than several, and of
// those that do, the one that changes least.
//
// A cause counts as certain only when the relay, cured of it in memory, is
// proven to play what the cause had spoilt.
package cause

import (
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Cause is one thing to mend.
type Cause struct {
	Rule    string // what kind of mistake it is
	Message string // one line: what is wrong, and where
	Fix     string // one line: what to do
	At      finding.Place
	Pins    []wiring.Terminal // pins and terminals to look at
	Valves  []int             // valves that are wrong because of it, ascending
	Certain bool              // the cure has been proven
	Cure    []Edit            // rows that cure it; none when none was found
}

// Edit replaces one row of a file by others, or removes it, or adds to the file.
type Edit struct {
	At  finding.Place // of the row; line 0 to add rows
	Old string        // the row as it is, "" when rows are added
	New []string
}
