// Package circuit knows how much current runs where in a relay, and what
// voltage is left at each magnet: supplies, fuses, boards, wires, magnets and
// the returns they share, solved as one network, in the states that load them
// most. It holds them against their limits and against the electrical code.
//
// It is a design check and no inspection: it knows what the files say, not
// what was built. Mains work and approval belong to licensed people.
package circuit

import (
	"trundle/console/finding"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

// Caution stands on every report.
const Caution = "a design check, not an inspection: mains work and approval belong to licensed people under the local code"

// Circuit is what a relay file says of electricity. Fields called Supply,
// Board and so on are indices; None where there is none.
type Circuit struct {
	Settings Settings
	Supplies []Supply
	Fuses    []Fuse
	Boards   []Board // by index of the relay's boards
	Cables   []Cable // by index of the relay's cables
	Returns  []Return
	Magnets  []Magnet
	Loads    []Load  // every magnet that hangs on an output pin
	Inputs   []Input // every contact that hangs on an input pin
	Places   []Place
	Links    []Link
}

// None marks an index that refers to nothing.
const None = -1

// Settings hold for the whole circuit.
type Settings struct {
	Code    string  // us, iec, none, or "" when not said
	Edition int     // of the us code
	WiresAt float64 // degrees Celsius, 20 when not given
	Drop    float64 // share of the supply's full voltage that may be lost on the way, 0.1 when not given
	Group   int     // knobs moved at once, 0 for all
	Gap     float64 // ms from one group to the next
	At      finding.Place
}

// Supply is a source of direct current.
type Supply struct {
	ID         string
	Idle, Full float64 // volts without load and at Amps
	Amps       float64 // 0 when not said
	Listed     Said
	Grounding  string  // double-insulated, bonded, or "" when not said
	Separation string  // selv, pelv, felv, or "" when not said
	Ripple     float64 // rms, as a share of its volts; 0 when not said
	Shares     bool    // made to run in parallel with others
	From       int     // the supply that feeds it, None for the mains
	Efficiency float64 // the share of its power that it passes on; 0 for one that passes the amps on
	At         finding.Place
}

// Said is yes or no, or nothing was said.
type Said int

const (
	NotSaid Said = iota
	Yes
	No
)

// Fuse protects the boards that name it.
type Fuse struct {
	ID   string
	Amps float64
	At   finding.Place
}

// Wire is one length of wire, or several in parallel.
type Wire struct {
	Gauge  Gauge
	Metres float64 // 0 when not said
	Count  int     // in parallel
	At     finding.Place
}

// Known reports whether its resistance is known.
func (w Wire) Known() bool { return w.Gauge.Known() && w.Metres > 0 && w.Count > 0 }

// Ohms is its resistance at a temperature, 0 when that is not known.
func (w Wire) Ohms(celsius float64) float64 {
	if !w.Known() {
		return 0
	}
	return w.Gauge.OhmsPerMetre(celsius) * w.Metres / float64(w.Count)
}

// Side is which pole of the supply something is on.
type Side string

const (
	Positive Side = "positive"
	Negative Side = "negative"
)

// Other is the other pole.
func (s Side) Other() Side {
	if s == Positive {
		return Negative
	}
	return Positive
}

// Board is what switches magnets, or reads contacts.
type Board struct {
	PinAmps, Amps float64 // limits, 0 when not said
	Supplies      []int   // none when not said
	Fuse          int
	Switches      Side    // the pole its pins connect magnets to
	Drop          float64 // volts lost in a driver, 1 when not given; of an input board in the diode of a contact
	Threshold     float64 // volts at which an input reads as on, 0 when not said
	Ohms          float64 // of an input to the other pole, 0 when not said
	Columns       int     // of a scan: so many contacts are fed together; 0 for all
	Feed          Wire    // from its fuse
	At            finding.Place
}

// Cable is a cable whose wires carry one pin each.
type Cable struct {
	Wire
	Banded     string // both, ring-only, or "" when not said
	Insulation string // thermoplastic, thermosetting, other, or "" when not said
	Covering   string // overall, groups, tape, none, or "" when not said
	Protection string // flame-rated, metal-raceway, fireproof-tape, none, or "" when not said
	Fastened   Said
	Tag        string // what it is marked with, "" for nothing
}

// Return is a common wire that magnets share on their way back to the supply.
type Return struct {
	ID string
	Wire
	Side   Side // "" when not said
	Into   int  // the return it runs into, None when it runs to its supply
	Supply int  // None: that of its magnets' boards
	Joined bool // joined to the other returns of its side at the supplies
	Fuse   float64
	Logic  bool // electronics go back by it too
	of     contact.Scope
}

// Magnet is a class of magnets alike.
type Magnet struct {
	ID      string
	Ohms    float64 // cold, at 20 C
	Hot     float64 // degrees Celsius, 60 when not given
	PullIn  float64 // volts, 0 when not said
	Pulse   float64 // ms that it is on for, 0 as long as it is asked for
	Duty    float64 // share of time that it may be on, 1 when not given
	Count   int     // in parallel on each pin
	Diode   string  // magnet, board, none, or "" when not said
	Cathode string  // pin, return, or "" when not said
	At      finding.Place
	of      contact.Scope
}

// resistance is that of what hangs on one pin, in ohms, at 20 C or hot.
func (m Magnet) resistance(hot bool) float64 {
	ohms := m.Ohms / float64(m.Count)
	if hot {
		ohms *= 1 + copperGrowth*(m.Hot-20)
	}
	return ohms
}

// Load is what one wiring row hangs on one pin: magnets of a class.
type Load struct {
	Item   wiring.Item
	Pin    wiring.Terminal
	Board  int
	Magnet int // class
	Return int // None when it goes straight home
	Legs   []Leg
	At     finding.Place // of its wiring row
}

// Input is what one wiring row hangs on one input pin: a contact.
type Input struct {
	Item  wiring.Item
	Pin   wiring.Terminal
	Board int
	Legs  []Leg
	At    finding.Place // of its wiring row
}

// Place is where boards and strips stand.
type Place struct {
	ID       string
	On       []int // boards and strips, as wiring.Terminal counts them
	Enclosed Said  // lockable, and out of reach of the public
	At       finding.Place
}

// Link is a data link by which boards are told what to do.
type Link struct {
	ID     string
	To     []int  // boards and strips, as wiring.Terminal counts them
	OnLoss string // what they do when it breaks: silence, hold, or "" when not said
	At     finding.Place
}

// Leg is one wire of a cable on the way from a pin to what hangs there.
type Leg struct{ Cable, Wire int }
