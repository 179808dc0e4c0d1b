// Package wiring reads a relay design and its wiring, says what does not fit
// together in them, and runs the relay as its definition reads.
//
// Load makes a Relay of its files, with every name resolved against an
// instrument (load*.go); where they have no switching table, Derive makes the
// one that plays it (derive*.go). Check runs the rules (rules*.go). Nets tells
// which terminals joins connect and what hangs on them. Run is the relay in one
// state: slow, and the judge of whatever is faster. It knows no amps and no
// time.
package wiring

import (
	"fmt"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/table"
)

// Relay is a relay design with its wiring, with every name resolved against
// one instrument. Slices keep the order of the files.
type Relay struct {
	File       string
	Instrument string // path of the instrument file it names, "" when it names none
	At         Places

	Boards []Board
	Strips []Strip
	Cables []Cable

	Plan    []Row // the wiring as planned, which the relay is programmed from
	Wired   []Row // the wiring as soldered; nil when it is the plan
	Joins   []Join
	Switch  []Switch   // the relay's own table, or the one derived from the plan
	Derived bool       // Switch was derived
	Stuck   []Terminal // that are on whatever is held and drawn; no file says so

	Waivers []Waiver

	Forms map[string]table.Form // how the tables are written, by file

	// What later readers read: electrical, supplies, fuses, returns, magnets,
	// links and places, as they stand in the file; nil where the file has none.
	Sections map[string]*yamldoc.Node
}

// Places are where the relay file says what.
type Places struct {
	Instrument, Wiring, Wired, Switching finding.Place
	Joins                                finding.Place // the first of its tables of joins
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

	Node *yamldoc.Node // the whole entry, for its amps-per-pin, amps, supply, fuse, switches, drop, feed and scan
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

// pins is how many terminals a board or strip has, by Terminal.On.
func (r *Relay) pins(on int) int {
	if on < len(r.Boards) {
		return r.Boards[on].Pins
	}
	return r.Strips[on-len(r.Boards)].Pins
}

// Board is the id of a board or strip, by Terminal.On.
func (r *Relay) Board(on int) string {
	if on < len(r.Boards) {
		return r.Boards[on].ID
	}
	return r.Strips[on-len(r.Boards)].ID
}

// Name is a terminal as files and findings write it: X3.14.
func (r *Relay) Name(t Terminal) string { return fmt.Sprintf("%s.%d", r.Board(t.On), t.Pin) }

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
	At    finding.Place // of the first cell
	Cells table.Row     // by Column, for the places of findings
	Pins  []Terminal
	Kind  Kind   // as written
	Item  string // as written
	Items []Item // one a pin, as far as both reach
	Notes string // as written
	Cable string
	Wires []int // one a pin; nil when not given
	Group string
}

// given reports whether the console gives it and the relay reads it.
func (k Kind) given() bool {
	switch k {
	case KeyKind, Key2Kind, StopKind, CouplerKind, ControlKind, ButtonKind, StageKind, ShoeKind:
		return true
	}
	return false
}

// Item is one thing that hangs on a pin. It is comparable: two equal items
// are the same thing. Kinds that name no thing of the instrument (row, column,
// common, return, feed, blower, spare) are items that are all alike.
type Item struct {
	Kind Kind // control for the contact of every control; ventil and tremulant are their magnets

	// Index is a keyboard (key, key-2), a control (control, knob-on, knob-off,
	// ventil, tremulant, lamp), a button (button; lamp: len(Controls) + button),
	// a sequence of the crescendo (stage: None for any), a shoe, a chest (note),
	// a rank (action, action-on, action-off, valve) or a box (shade).
	Index int
	Of    int // division of a note or an action where several are played there, else console.None
	Note  int // key or note (MIDI number), valve number, stage; 0 where there is none
}

// Join joins runs of terminals by a leg of cable.
type Join struct {
	At       finding.Place
	Cells    table.Row
	From, To []Terminal // joined one by one, as far as both reach
	Cable    string
	Wires    []int
}

// Cable is a cable that rows name.
type Cable struct {
	ID      string
	Wires   int          // 0 when not said
	Code    string       // colour code, Pairs25 or one of DIN 47100; "" when not said
	Colours []WireColour // that the file gives, in its order
	At      finding.Place

	Node *yamldoc.Node // the whole entry, for its gauge, length, banded and protection
}

// WireColour is the colour that a file gives a wire.
type WireColour struct {
	Wire   int
	Colour string // as written
	At     finding.Place
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
	Cells   table.Row // nil when derived
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
