// Package wiring reads a relay design and its wiring, says what does not fit
// together in them, and runs the relay as its definition reads.
package wiring

import (
	"trundle/console"
	"trundle/console/finding"
)

// Relay is a relay design with its wiring, with every name resolved against
// one instrument. Slices keep the order of the files.
type Relay struct {
	File       string
	Instrument string // the instrument file it names, "" when it names none

	Boards []Board
	Strips []Strip
	Cables []Cable

	Plan    []Row // the wiring as planned, which the relay is programmed from
	Wired   []Row // the wiring as soldered; nil when it is the plan
	Joins   []Join
	Switch  []Switch // the relay's own table, or the one derived from the plan
	Derived bool     // Switch was derived
}

// Soldered is the wiring that is really there: Wired, or the plan without it.
func (r *Relay) Soldered() []Row {
	if r.Wired != nil {
		return r.Wired
	}
	return r.Plan
}

// Direction is which way a board's pins work.
type Direction string

const (
	Input  Direction = "input"
	Output Direction = "output"
)

// Board is a board of the relay, with pins 1 to Pins.
type Board struct {
	ID        string
	Direction Direction
	Pins      int
	At        finding.Place
}

// Strip is a terminal strip, with terminals 1 to Pins.
type Strip struct {
	ID   string
	Pins int
	At   finding.Place
}

// Terminal is one pin of a board or one terminal of a strip. Boards come
// first: On counts boards, then strips.
type Terminal struct {
	On  int // index into Boards, or len(Boards) + index into Strips
	Pin int // from 1
}

// Kind is what a wiring row hangs on its pins.
type Kind string

const (
	// in
	KeyKind       Kind = "key"
	Key2Kind      Kind = "key-2"
	StopKind      Kind = "stop"
	CouplerKind   Kind = "coupler"
	VentilKind    Kind = "ventil"
	TremulantKind Kind = "tremulant"
	ControlKind   Kind = "control"
	ButtonKind    Kind = "button"
	StageKind     Kind = "stage"
	ShoeKind      Kind = "shoe"
	// out (ventil and tremulant too)
	NoteKind      Kind = "note"
	ActionKind    Kind = "action"
	ActionOnKind  Kind = "action-on"
	ActionOffKind Kind = "action-off"
	ValveKind     Kind = "valve"
	KnobOnKind    Kind = "knob-on"
	KnobOffKind   Kind = "knob-off"
	ShadeKind     Kind = "shade"
	LampKind      Kind = "lamp"
	// other
	RowKind    Kind = "row"
	ColumnKind Kind = "column"
	CommonKind Kind = "common"
	ReturnKind Kind = "return"
	FeedKind   Kind = "feed"
	BlowerKind Kind = "blower"
	SpareKind  Kind = "spare"
)

// Row is one row of the wiring: a run of pins and what hangs on each.
type Row struct {
	At    finding.Place            // column of the first cell
	Cells map[string]finding.Place // by column name, for findings
	Pins  []Terminal
	Kind  Kind
	Item  string // as written
	Items []Item // one a pin, as far as both reach; nil for kinds without items
	Notes string // as written
	Cable string
	Wires []int // one a pin; nil when not given
	Group string
}

// Item is one thing that hangs on a pin. It is comparable: two equal items
// are the same thing.
type Item struct {
	Kind  Kind // key, key-2, control (for every control's contact), button, stage, shoe; note, action, action-on, action-off, valve, ...
	Index int  // keyboard; control; button; shoe; chest of a note; rank of an action or valve; box of a shade
	Of    int  // division of a note or an action where the chest plays several, else console.None
	Note  int  // key or note (MIDI number), valve number, stage; 0 where there is none
}

// Join joins runs of terminals by a leg of cable.
type Join struct {
	At       finding.Place
	From, To []Terminal // of one length, as far as both reach
	Cable    string
	Wires    []int
}

// Cable is a cable that rows name.
type Cable struct {
	ID      string
	Wires   int            // 0 when not said
	Code    string         // colour code: "25-pair", "din-47100" or ""
	Colours map[int]string // by wire, where the file says so
	At      finding.Place
}

// SwitchKind is what a row of the switching table does.
type SwitchKind string

const (
	Read   SwitchKind = "read"
	Couple SwitchKind = "couple"
	Drive  SwitchKind = "drive"
)

// Switch is one row of the relay's own table.
type Switch struct {
	At      finding.Place
	Cells   map[string]finding.Place
	Kind    SwitchKind
	Line    string         // "" for a read of a control label and a drive without a line
	Notes   []console.Note // of Line
	Control []Literal      // all must hold; empty is always
	Pins    []Terminal     // of a read or drive
	To      string         // line of a couple
	ToNotes []console.Note
	Picks   console.Picks
}

// Literal is a control label, or its negation.
type Literal struct {
	Label string
	Not   bool
}

// Len is the number of notes or pins the row acts on: the common part of its
// ranges.
func (s Switch) Len() int {
	switch {
	case s.Kind == Couple:
		return min(len(s.Notes), len(s.ToNotes))
	case s.Line == "":
		return len(s.Pins)
	}
	return min(len(s.Notes), len(s.Pins))
}
