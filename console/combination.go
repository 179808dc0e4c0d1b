package console

import (
	"slices"

	"trundle/console/finding"
)

// Combination is the console's buttons and how many memories they have.
type Combination struct {
	Memories int
	End      End // EndStop when empty
	Travel   int // milliseconds that a knob has to arrive in; DefaultTravel when 0
	Buttons  []Button
}

// DefaultTravel is how long a knob may take after its coil is energized, in
// milliseconds. From memory; every instrument file may say otherwise.
const DefaultTravel = 300

// End says what the sequencer does after the last general of a memory.
type End string

const (
	EndStop End = "stop"
	EndWrap End = "wrap" // it goes on with the first of the same memory
	EndNext End = "next" // it goes on with the first of the next memory
)

// ButtonKind is what a thumb piston or toe stud does.
type ButtonKind string

const (
	General       ButtonKind = "general"
	Divisional    ButtonKind = "divisional"
	Cancel        ButtonKind = "cancel"
	Set           ButtonKind = "set"
	Reversible    ButtonKind = "reversible"
	TuttiKind     ButtonKind = "tutti"
	Next          ButtonKind = "next"
	Previous      ButtonKind = "previous"
	MemoryUp      ButtonKind = "memory-up"
	MemoryDown    ButtonKind = "memory-down"
	CrescendoKind ButtonKind = "crescendo" // the next sequence; with Set, captures the stage at which it stands
)

// Scope says which controls a divisional takes.
type Scope string

const (
	ScopeOwn    Scope = "own"        // its division's stops, tremulants, own couplers and unison offs
	ScopePlayed Scope = "own+played" // and the couplers played from its keyboard
	ScopeList   Scope = "list"       // those listed
)

// Button is a thumb piston, or a toe stud where Toe is set.
type Button struct {
	ID, Name string
	Kind     ButtonKind
	Keyboard int   // under which it stands, None when not given
	Division int   // of a divisional, or of a cancel of one division; else None
	Scope    Scope // of a divisional
	List     []int // controls, for ScopeList
	Leaves   []int // controls it never moves
	Control  int   // what a reversible toggles, else None
	Repeats  int   // the button it does the work of, else None
	Toe      bool
	Fixed    bool  // set by the builder: it captures nothing
	Sets     []int // controls that a fixed general or divisional draws; it draws the rest of its scope off
	At       finding.Place
}

// Takes lists the controls that a general or divisional captures and sets, in
// the order of Controls; nil for every other kind.
func (in *Instrument) Takes(b Button) []int {
	if b.Kind != General && b.Kind != Divisional {
		return nil
	}
	left := make(map[int]bool, len(b.Leaves))
	for _, c := range b.Leaves {
		left[c] = true
	}
	listed := make(map[int]bool, len(b.List))
	for _, c := range b.List {
		listed[c] = true
	}
	var takes []int
	for c := range in.Controls {
		taken := listed[c]
		if b.Kind == General {
			taken = in.generalTakes(c)
		} else if b.Scope != ScopeList {
			taken = in.divisionOwns(b.Division, c) || b.Scope == ScopePlayed && in.playedFrom(in.Divisions[b.Division].Keyboard, c)
		}
		if taken && !left[c] {
			takes = append(takes, c)
		}
	}
	return takes
}

// generalTakes reports whether a general takes control c: all stops,
// couplers, unison offs and tremulants.
func (in *Instrument) generalTakes(c int) bool {
	switch in.Controls[c].Kind {
	case StopControl, CouplerControl, UnisonOffControl, TremulantControl:
		return true
	}
	return false
}

// divisionOwns reports whether control c is a stop, tremulant, own coupler or
// unison off of division d.
func (in *Instrument) divisionOwns(d, c int) bool {
	i := in.Controls[c].Index
	switch in.Controls[c].Kind {
	case StopControl:
		return in.Stops[i].Division == d
	case CouplerControl:
		return in.Couplers[i].Division == d && in.Couplers[i].Keyboard == None
	case UnisonOffControl:
		return in.UnisonOffs[i].Division == d
	case TremulantControl:
		return slices.Contains(in.Tremulants[i].Divisions, d)
	}
	return false
}

// playedFrom reports whether control c is a coupler played from keyboard k.
func (in *Instrument) playedFrom(k, c int) bool {
	return k != None && in.Controls[c].Kind == CouplerControl && in.Couplers[in.Controls[c].Index].Keyboard == k
}
