// Package bench exercises hardware on a MIDI port, and stands in for it: a relay
// in simulation, scripts of stimuli and expectations, and the tests of a whole
// relay. It has no clock and opens no ports: who uses it says when it is.
package bench

import (
	"math/rand/v2"
	"time"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// StandIn is a relay in simulation, at the organ's end of a cable: it hears
// keys and controls, scans their contacts, and says which valves its outputs
// open. Its combination action works knobs of its own. Mistakes of the wiring are
// mistakes of what it reads and opens: pistons, coils and lamps go past the wiring,
// and what the crescendo and the tutti add comes as if contacts had been made.
type StandIn struct {
	Says func(text string) // told what the combination action has to say, if not nil

	in     *console.Instrument
	end    *mapping.End
	relay  *probe.Running
	action *combination.Console
	save   func(*combination.Memories) error // nil: captures last as long as it does
	timing Timing
	chance *rand.Rand

	contacts map[mapping.Thing]*contact
	worked   []timed[console.Event]  // what has no contact to be scanned, until it is believed
	knobs    []timed[console.Effect] // coils energized, until their knobs have moved
	moved    time.Duration           // when a control last moved, or a coil was energized
	scanned  time.Duration           // the last scan
	stale    bool                    // a contact is not yet read as it stands
	open     probe.Set
	said     []timed[console.Effect]
	loop     probe.Loop // nil without a plug
	looped   []contact  // behind the plug
	reports  []timed[mapping.Signal]
	back     bool // who hears it has come back, and was not told what is open
}

// Timing is how a stand-in behaves in time.
type Timing struct {
	Scan     time.Duration // between scans of all contacts; a millisecond when not given
	Debounce time.Duration // how long a contact must read alike before it counts
	Bounce   time.Duration // how long a contact bounces when it moves
	Travel   time.Duration // how long a knob takes to follow its coil
	Late     time.Duration // how much later its outputs follow
	Drop     time.Duration // how long it reads no keys when a control has moved, or is to move: a fault
	Stuck    []mapping.Thing
	Seed     uint64 // of the bounces
}

// timed is what is still to be done, and when.
type timed[T any] struct {
	at   time.Duration
	what T
}

// NewStandIn begins a stand-in with nothing held and nothing on. What is stuck
// is made from the beginning.
func NewStandIn(in *console.Instrument, m *mapping.Map, r *wiring.Relay, timing Timing) *StandIn {
	if timing.Scan <= 0 {
		timing.Scan = time.Millisecond
	}
	s := &StandIn{in: in, end: m.End(mapping.AtOrgan, "cable"), relay: probe.Compile(r, in), timing: timing,
		chance: rand.New(rand.NewPCG(timing.Seed, 1)), contacts: map[mapping.Thing]*contact{}, moved: -timing.Drop}
	for _, thing := range timing.Stuck {
		s.contacts[thing] = &contact{made: true, read: true}
	}
	s.Keep(nil, nil)
	s.open = s.relay.Run(s.state(0))
	return s
}

// Hear takes a message from the console. A port that goes away lets go of its
// keys; when it is back all is said that is open.
func (s *StandIn) Hear(m midiio.Timed) {
	s.until(m.At) // as contacts stood, however late this is told
	s.back = s.back || m.Message.Kind == midiio.Back
	heard := s.end.Hear(m)
	for _, signal := range heard.Signals {
		if signal.Kind == mapping.Key || signal.Kind == mapping.Second {
			s.move(signal.Thing, signal.Value == 1, m.At)
		}
	}
	for _, event := range heard.Events {
		s.work(event, m.At)
	}
}

// moment is when something is due, if it is.
type moment struct {
	at  time.Duration
	due bool
}

// soonest is the first of what is due.
func soonest(list ...moment) (next moment) {
	for _, m := range list {
		if m.due && (!next.due || m.at < next.at) {
			next = m
		}
	}
	return next
}

func first[T any](list []timed[T]) moment {
	if len(list) == 0 {
		return moment{}
	}
	return moment{list[0].at, true}
}

// Next is when Tick has something to do.
func (s *StandIn) Next() (at time.Duration, due bool) {
	next := soonest(moment{0, s.back}, s.next(), first(s.said), first(s.reports))
	return next.at, next.due
}

// next is when something changes by itself.
func (s *StandIn) next() moment {
	at, due := s.action.Next()
	return soonest(moment{at, due}, s.rescans(), first(s.worked), first(s.knobs))
}

// rescans is when the contacts are scanned next.
func (s *StandIn) rescans() moment {
	return moment{s.scanned + s.timing.Scan, s.stale || s.dropping(s.scanned)}
}

// Tick scans what is due by now, and appends what the stand-in says of it.
func (s *StandIn) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	s.until(now)
	if s.back {
		s.back = false
		to = s.introduce(to, now) // it knows nothing of what was said
		for i := range s.looped {
			if s.looped[i].read {
				to = s.end.Tell(to, s.report(i))
			}
		}
		for v := range s.in.Valves {
			if s.loop == nil && s.open.Has(v) {
				to = s.end.Say(to, console.Effect{At: now, Kind: console.ValveEffect, Index: v, Value: 2})
			}
		}
	}
	for len(s.said) > 0 && s.said[0].at <= now {
		to = s.end.Say(to, s.said[0].what)
		s.said = s.said[1:]
	}
	for ; len(s.reports) > 0 && s.reports[0].at <= now; s.reports = s.reports[1:] {
		to = s.end.Tell(to, s.reports[0].what)
	}
	return to
}

// until lets happen what is due by a time.
func (s *StandIn) until(now time.Duration) {
	for next := s.next(); next.due && next.at <= now; next = s.next() {
		switch at := next.at; next {
		case first(s.knobs):
			coil := s.knobs[0].what
			s.knobs = s.knobs[1:]
			s.arrive(coil, at)
		case s.rescans():
			s.scanned = at
			s.scan(at)
		case first(s.worked):
			event := s.worked[0].what
			s.worked = s.worked[1:]
			s.act(event, at)
		default:
			s.act(console.Event{Kind: console.TickEvent}, at)
		}
	}
}

// say has an effect said when outputs follow.
func (s *StandIn) say(f console.Effect, at time.Duration) {
	s.said = append(s.said, timed[console.Effect]{at + s.timing.Late, f})
}
