// Package walk is the way through a new organ with a lamp, a meter and one's
// ears: every wire, supply, contact, magnet, pipe, stop, coupler, knob and shade
// in turn, in the order of the trade, from what can be tried without power to
// all of it at once. It plans the steps, takes the answers, says what comes next
// and what is left open.
//
// It sends nothing, has no clock and keeps no file: who uses it does.
package walk

import (
	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// Phase is a part of the walk. It begins when the one before is answered.
type Phase int

// The phases in their order.
const (
	Legs Phase = iota
	Supplies
	Fuses
	Inputs
	Valves
	NoteLines
	Actions
	Ciphers
	Runs
	Pipes
	Couplers
	Knobs
	Pistons
	Crescendo
	Transposer
	Lamps
	Shades
	Tremulants
	Full
	Sign
)

var phases = []struct{ name, about, caution string }{
	Legs: {"legs", "every wire rung out, with the power off",
		"power off and locked out, blower and rectifiers with it; mains belongs to licensed people under the local code"},
	Supplies: {"supplies", "each supply alone, all fuses out",
		"a rectifier that can deliver tens of amperes welds a ring or a tool to its terminals; mains belongs to licensed people under the local code"},
	Fuses: {"fuses", "one fuse at a time, with nothing on", "feel for coils that grow warm: nothing should be on"},
	Inputs: {"inputs", "every key, knob, piston and shoe worked, as a coverage sheet has it",
		""},
	Valves: {"valves", "one valve magnet at a time behind a small fuse, wind off",
		"wind off at the blower's own switch; a small fuse in the place of the large one; a coil that is left on grows hot"},
	NoteLines: {"note-lines", "one note line at a time, wind off", "wind off; a coil that is left on grows hot"},
	Actions:   {"actions", "one stop action at a time, wind off", "wind off; keep hands out of sliders and their motors"},
	Ciphers: {"ciphers", "wind on, nothing drawn, nothing held",
		"the blower is started at its own switch by who answers for it, never from here; nobody in the chamber"},
	Runs:       {"runs", "each stop drawn without a key", "hearing protection in the chamber"},
	Pipes:      {"pipes", "each stop, key by key", "hearing protection in the chamber"},
	Couplers:   {"couplers", "each coupler and unison off", "hearing protection in the chamber"},
	Knobs:      {"knobs", "each knob by its coils, and its own contact", "knob coils are made for short pulses"},
	Pistons:    {"pistons", "each piston and toe stud", "knobs move"},
	Crescendo:  {"crescendo", "the crescendo by its stages, from shut", "the last stages are loud enough to hurt: hearing protection in the chamber"},
	Transposer: {"transposer", "the transposer by its steps", "hearing protection in the chamber"},
	Lamps:      {"lamps", "each lamp", ""},
	Shades:     {"shades", "each box by its stages", "an engine closes shades on fingers with the force of its wind; nobody near them"},
	Tremulants: {"tremulants", "each tremulant", "a tremulant shakes the chest and what lies on it"},
	Full:       {"full", "everything on, and the volts at the far magnet", "loud enough to hurt: hearing protection, chamber clear"},
	Sign:       {"sign", "memories saved, and the day signed", ""},
}

// Phases are all of them.
func Phases() []Phase {
	list := make([]Phase, len(phases))
	for i := range list {
		list[i] = Phase(i)
	}
	return list
}

// String is the name of a phase.
func (p Phase) String() string { return phases[p].name }

// About is what is done in a phase, in words.
func (p Phase) About() string { return phases[p].about }

// Caution is what to take care of in a phase, "" for nothing of its own.
func (p Phase) Caution() string { return phases[p].caution }

// Strict reports a phase in which what is wrong must be mended, or accepted with
// a reason, before the next one begins: those before magnets are given power.
func (p Phase) Strict() bool { return p <= Fuses }

// Step is one thing to try.
type Step struct {
	ID     string // says what is tried
	Phase  Phase
	Group  string        // what stands together: a cable, a keyboard, a stop
	Do     string        // what is done, by a person or by Moves
	Expect string        // what should come of it
	Good   Verdict       // Speaks or Good
	Items  []wiring.Item // that it tries: an open fault is looked for where they hang
	Pins   []wiring.Terminal
	First  string  // what a hand does before Moves, "" for nothing
	Moves  []Move  // what the organ is told; none where a person does all of it
	Comes  []Move  // what must be told of in return: contacts of knobs, lamps
	Undo   []Move  // what takes back what stays when Moves are taken back
	Amps   *Amps   // that a meter should show; nil where nothing is known
	Volts  float64 // that a meter should show; 0 where nothing is known
	Needs  float64 // volts that the magnet needs to pull in; 0 where its file does not say
	Pulse  float64 // ms after which Moves are taken back, whoever waits; 0 when the answer comes
	Ask    bool    // it is loud, or something moves: ask for the chamber before
	Sum    string  // of what is tried, and where it hangs: an answer counts for the step with the same sum
}

// Measured reports a step that asks for what a meter shows, or says what it should show:
// nobody can have compared what was not read.
func (s Step) Measured() bool {
	return s.Phase == Supplies || s.Phase == Fuses || s.Volts > 0 || s.Amps != nil
}

// Move is one thing that the organ is told: a key, control, valve, note line,
// button, shoe, shade, knob or lamp, and how it is to stand.
type Move struct {
	Item  wiring.Item
	Value int // 1: on; a shoe's position
}

// Amps is what a meter in the feed should show.
type Amps struct {
	Cold, Hot float64 // in all, with coils at 20 C and warm
	One       float64 // of the one magnet that is tried
	Low       float64 // as Hot, with the supply at its lowest volts
	Needs     float64 // in all, for the one to pull in when the supply falls to its lowest volts; 0 where its file does not say
}

// Options are what a plan depends on besides the files.
type Options struct {
	// Direct reports whether the organ can be told of a valve or note line by
	// itself. One that cannot is reached by a key and a stop.
	Direct func(wiring.Item) bool
}

// ShortPulse is how long what is made for pulses is on, in ms, where the relay
// file does not say. Common practice, no source.
const ShortPulse = 300

// Plan is the steps through an organ, in the order of their phases. Without a
// relay there are none of its wires and pins; c may be nil.
func Plan(in *console.Instrument, r *wiring.Relay, c *circuit.Circuit, o Options) []Step {
	p := newPlanner(in, r, c, o)
	p.legs()
	p.supplies()
	p.fuses()
	p.inputs()
	p.outputs()
	p.wind()
	p.pipes()
	p.couplers()
	p.knobs()
	p.pistons()
	p.crescendo()
	p.transposer()
	p.lamps()
	p.shades()
	p.tremulants()
	p.full()
	return p.steps
}
