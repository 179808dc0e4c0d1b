// Package mapping is what messages on a MIDI cable mean to an instrument: the
// section `midi` of its file (Reference says how it is written), or a default.
//
// One map serves both ends of a cable, and a program may be at either. At the
// console's end it says keys, contacts, buttons and shoes, and hears what moves
// knobs and lights lamps; at the organ's end it hears the former and says the
// latter. An End has the state of one cable:
//
//   - Hear makes events for the console machine of a message that came, and
//     signals for whoever has no such machine. They are done like any others,
//     and all ends of other cables are told of them.
//   - Did makes messages of an event, and Say of an effect of the machine;
//     Lines makes those of division lines, and Tell those of any thing for whoever
//     has no machine. Nothing is said back to where it came from.
//   - Next and Tick say what a shoe's rate limit held back.
//   - Connect says controls, shoes and the crescendo when the other end has come;
//     Disconnect lets go of what it held when it is lost.
//
// The package opens no ports and has no clock.
package mapping

import (
	"time"

	"trundle/console"
	"trundle/console/finding"
)

// Kind is what sort of thing a message is about.
type Kind string

const (
	Key     Kind = "key"     // Index keyboard, Note: its first contact
	Second  Kind = "second"  // Index keyboard, Note: its second contact
	Line    Kind = "line"    // Index division, Note: after the couplers
	Valve   Kind = "valve"   // Index among all valves of the instrument
	Control Kind = "control" // Index control
	Button  Kind = "button"  // Index button
	Shoe    Kind = "shoe"    // Index shoe
	Stage   Kind = "stage"   // of the crescendo
)

// Thing is one thing that messages are about.
type Thing struct {
	Kind  Kind
	Index int
	Note  console.Note
}

// Signal is how a thing stands, or is to stand: 0 or 1, a shoe's position to
// console.ShoeMost, a stage of the crescendo.
type Signal struct {
	Thing
	Value int
}

// Way is where a message goes.
type Way int

const (
	ToOrgan Way = iota
	ToConsole
	ways
)

// Side is the end of the cable that this program is at.
type Side int

const (
	AtConsole Side = iota // it says what goes to the organ
	AtOrgan               // it says what goes to the console
)

func (s Side) says() Way  { return Way(s) }
func (s Side) hears() Way { return ToConsole - Way(s) }

// Map is what every message means. It does not change.
type Map struct {
	Entries []Entry // in the order keys, lines, valves, shoes, crescendo, controls, buttons
	Default bool    // the file has no map, and this one stands in
	Limits  Limits
	Baud    int // of the link; 0: nothing is known of it

	in      *console.Instrument
	byThing map[Thing]int
	heard   [ways]index
	at      finding.Place // of the section
}

// Entry is one thing that has messages.
type Entry struct {
	Thing
	At finding.Place // of the line of the file that gives them

	forms      [ways]*form   // nil where nothing goes
	every      time.Duration // of a shoe: no more often
	hysteresis int           // of a shoe, in positions
}

// Has reports whether the thing has messages that go a way.
func (e Entry) Has(way Way) bool { return e.forms[way] != nil }

// Bytes is how many bytes say a way that the thing is on, where what is said before
// has the same status: a note two, a non-registered parameter six (running status,
// MIDI 1.0). 0 where nothing goes that way.
func (e Entry) Bytes(way Way) (n int) {
	if !e.Has(way) {
		return 0
	}
	for _, m := range e.forms[way].append(nil, 1) {
		n += len(m.Bytes())
		if m.Channel() > 0 {
			n--
		}
	}
	return n
}

// Find is the entry of a thing.
func (m *Map) Find(t Thing) (Entry, bool) {
	i, ok := m.byThing[t]
	if !ok {
		return Entry{}, false
	}
	return m.Entries[i], true
}

// Unmapped lists what the instrument has and the map has no message for:
// keyboards by their lowest key, controls, buttons, shoes; the crescendo where
// neither its stage nor a shoe of it is mapped.
func (m *Map) Unmapped() []Thing {
	var list []Thing
	want := func(t Thing) bool {
		_, ok := m.byThing[t]
		if !ok {
			list = append(list, t)
		}
		return ok
	}
	for k, keyboard := range m.in.Keyboards {
		want(Thing{Key, k, keyboard.Keys.From})
	}
	crescendo := len(m.in.Crescendo) == 0
	for s, shoe := range m.in.Shoes {
		crescendo = want(Thing{Kind: Shoe, Index: s}) && shoe.Crescendo || crescendo
	}
	if !crescendo {
		want(Thing{Kind: Stage})
	}
	for c := range m.in.Controls {
		want(Thing{Kind: Control, Index: c})
	}
	for b := range buttons(m.in) {
		want(Thing{Kind: Button, Index: b})
	}
	return list
}

func buttons(in *console.Instrument) []console.Button {
	if in.Combination == nil {
		return nil
	}
	return in.Combination.Buttons
}
