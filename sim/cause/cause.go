// Package cause explains the differences that a proof finds: the fewest things
// to mend that account for them, each with its place in the files and on the
// pins, and the rows that cure it. It suspects mistakes, cures them in a copy of
// the relay, and leaves it to a proof whether that is right; a cause is said
// only when the relay, cured of it in memory, is proven to play what the cause
// had spoilt. One mistake that accounts for all is said rather than several,
// and of those that do, the one that changes least.
//
// To read it, begin with the way from what differs to what is said:
//
//	find          suspects gathered, settled by proofs, and made into causes
//	soldered      first what was soldered otherwise than planned
//	look          then the rest: what the model shows, or what a guess does better
//	suspect       a mistake with its cure; suspect_carry: one behind another
//	change        what a cure alters in rows, of all layers, and how it is written;
//	              a row that is too short is written anew (change_wider)
//	text          what is said of it
//
// The model compares instrument and relay piece by piece, from what each output
// should do down to the contacts. While it looks at a piece it takes what lies
// below for right, so that one mistake shows in one place:
//
//	model         both in one network, the relay reading pins and not contacts
//	model_match   which of the relay's lines is meant to be which of the instrument's
//	model_look    the pins and the terms of lines that are not as they should be
//	group         what of that one mistake has done, and its name
//	cure          the change that undoes it, in the wiring, the joins or the switching
//
// Guesses are needed where mistakes hide or feign each other. Every mistake of
// every kind that the rows allow is mended, and tried in 64 states at once;
// what does well in the trial is proven:
//
//	trial         the states, and the relay run in all of them by bits of a word
//	guess         what a guess mends and spoils; guess_rows and the like make them
//	guess_table   guesses at one wrong cell of one row of the switching
//	guess_unread  and at all the rows of what the table does not read
//	slip          guesses at one row of the wiring that says another thing than it should; slip_joins: at one join, or two
//	guess_cover   two or a few guesses that mend all together
//	guess_proven  the first that a proof confirms
//	effort        what a cure takes to write, by which one reading is likelier than another
//	reading       what a reading takes, by which it is said first, or not at all
//	either        readings that take as little: nothing tells which of them it is
//
// Neither leans on sim/fault and sim/probe, which make mistakes as a hand does and
// run a relay to its end: here a run is put right, anywhere and by any number of
// places, and a relay is changed between the steps of its run.
package cause

import (
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Cause is one thing to mend; its cure has been proven.
type Cause struct {
	Rule    string // what kind of mistake it is
	Message string // one line: what is wrong, and where
	Fix     string // one line: what to do
	At      finding.Place
	Pins    []wiring.Terminal // pins and terminals to look at
	InTable bool              // it is in the switching, not on the pins
	Valves  []int             // valves that are wrong because of it, ascending
	Cure    []Edit            // rows that cure it, proven; with those of others that alter the same rows, or none where another has these
	Cured   *wiring.Relay     // the relay with this one mended
	Or      []Reading         // what accounts for it alone and is written with as little, or is often meant
}

// Reading is another way to read the same differences as one mistake.
type Reading struct {
	Message string // as that of a cause
	Fix     string
	At      finding.Place
	Cure    []Edit // proven too
	Less    bool   // more is to be written, so it is less likely
}

// Edit replaces one row of a file by others, or removes it, or adds to the file.
type Edit struct {
	At  finding.Place // of the row; line 0 to add rows
	Old string        // the row as it is, "" when rows are added
	New []string
}
