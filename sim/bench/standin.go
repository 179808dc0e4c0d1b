// Package bench exercises hardware on a MIDI port, and stands in for it: a relay
// in simulation, scripts of stimuli and expectations, and the tests of a whole
// relay. It has no clock and opens no ports: who uses it says when it is.
package bench

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// StandIn is a relay in simulation, at the organ's end of a cable: it hears
// keys and controls, scans their contacts, and says which valves its outputs
// open.
type StandIn struct {
	in     *console.Instrument
	end    *mapping.End
	relay  *probe.Running
	timing Timing
	chance *rand.Rand

	contacts map[mapping.Thing]*contact
	moved    time.Duration // when a control last moved
	scanned  time.Duration // the last scan
	stale    bool          // a contact is not yet read as it stands
	open     probe.Set
	said     []late
	back     bool // who hears it has come back, and was not told what is open
}

// Timing is how a stand-in behaves in time.
type Timing struct {
	Scan     time.Duration // between scans of all contacts; a millisecond when not given
	Debounce time.Duration // how long a contact must read alike before it counts
	Bounce   time.Duration // how long a contact bounces when it moves
	Late     time.Duration // how much later its outputs follow
	Drop     time.Duration // how long it reads no keys when a control has moved: a fault
	Stuck    []mapping.Thing
	Seed     uint64 // of the bounces
}

// contact is a contact of the console as it moves and as it is read.
type contact struct {
	made, read bool
	bounces    []time.Duration // when it turns over on its way, ascending
	alike      time.Duration   // since when it reads otherwise than `read`
	differs    bool
}

// late is an effect that is on its way.
type late struct {
	at     time.Duration
	effect console.Effect
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
	s.open = s.relay.Run(s.state(0))
	return s
}

// Hear takes a message from the console. A port that goes away lets go of its
// keys; when it is back all is said that is open.
func (s *StandIn) Hear(m midiio.Timed) {
	s.scanUntil(m.At) // as contacts stood, however late this is told
	s.back = s.back || m.Message.Kind == midiio.Back
	heard := s.end.Hear(m)
	for _, signal := range heard.Signals {
		switch signal.Kind {
		case mapping.Key, mapping.Second, mapping.Control:
			s.move(signal.Thing, signal.Value == 1, m.At)
		}
	}
	for _, event := range heard.Events {
		if event.Kind == console.TouchEvent {
			thing := mapping.Thing{Kind: mapping.Control, Index: event.Index}
			c := s.contacts[thing]
			s.move(thing, c == nil || !c.made, m.At)
		}
	}
}

// move makes or breaks a contact, which then bounces.
func (s *StandIn) move(thing mapping.Thing, made bool, at time.Duration) {
	if slices.Contains(s.timing.Stuck, thing) {
		return
	}
	c := s.contacts[thing]
	if c == nil {
		c = &contact{}
		s.contacts[thing] = c
	}
	if c.made == made {
		return
	}
	if !s.stale && !s.dropping(s.scanned) {
		s.scanned = at - at%s.timing.Scan // nothing has moved since the last scan
	}
	c.made, c.bounces, s.stale = made, nil, true
	if thing.Kind == mapping.Control {
		s.moved = at
	}
	if s.timing.Bounce > 0 {
		for range 2 * (1 + s.chance.IntN(3)) {
			c.bounces = append(c.bounces, at+time.Duration(s.chance.Int64N(int64(s.timing.Bounce))))
		}
		slices.Sort(c.bounces)
	}
}

// stands reports whether a contact is made at a time.
func (c *contact) stands(at time.Duration) bool {
	made := c.made
	for _, b := range c.bounces {
		if b > at {
			made = !made // it is to turn over once more
		}
	}
	return made
}

// Next is when Tick has something to do.
func (s *StandIn) Next() (at time.Duration, due bool) {
	switch {
	case s.back:
		return 0, true
	case len(s.said) > 0:
		at, due = s.said[0].at, true
	}
	if scan := s.scanned + s.timing.Scan; (s.stale || s.dropping(s.scanned)) && (!due || scan < at) {
		at, due = scan, true
	}
	return at, due
}

func (s *StandIn) dropping(at time.Duration) bool {
	return s.timing.Drop > 0 && at < s.moved+s.timing.Drop
}

// Tick scans what is due by now, and appends what the stand-in says of it.
func (s *StandIn) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	s.scanUntil(now)
	if s.back {
		s.back = false
		s.end.Disconnect() // it knows nothing of what was said
		for v := range s.in.Valves {
			if s.open.Has(v) {
				to = s.end.Say(to, console.Effect{At: now, Kind: console.ValveEffect, Index: v, Value: 2})
			}
		}
	}
	for len(s.said) > 0 && s.said[0].at <= now {
		to = s.end.Say(to, s.said[0].effect)
		s.said = s.said[1:]
	}
	return to
}

// scanUntil scans what is due by a time.
func (s *StandIn) scanUntil(at time.Duration) {
	for (s.stale || s.dropping(s.scanned)) && s.scanned+s.timing.Scan <= at {
		s.scanned += s.timing.Scan
		s.scan(s.scanned)
	}
}

// scan reads all contacts, and lets the outputs follow.
func (s *StandIn) scan(at time.Duration) {
	s.stale = false
	for _, c := range s.contacts {
		stands := c.stands(at)
		switch {
		case stands == c.read:
			c.differs = false
		case !c.differs:
			c.differs, c.alike = true, at
		}
		if c.differs && at-c.alike >= s.timing.Debounce {
			c.read, c.differs = stands, false
		}
		s.stale = s.stale || c.differs || c.read != c.made || len(c.bounces) > 0 && c.bounces[len(c.bounces)-1] > at
	}
	open := s.relay.Run(s.state(at))
	for v := range s.in.Valves {
		if open.Has(v) != s.open.Has(v) {
			value := 0
			if open.Has(v) {
				value = 2
			}
			s.said = append(s.said, late{at + s.timing.Late, console.Effect{At: at, Kind: console.ValveEffect, Index: v, Value: value}})
		}
	}
	s.open = open
}

// state is what is held and on, as far as it is read.
func (s *StandIn) state(at time.Duration) (held []console.Held, on []int) {
	keys := map[console.Key]console.Held{}
	for thing, c := range s.contacts {
		switch {
		case !c.read:
		case thing.Kind == mapping.Control:
			on = append(on, thing.Index)
		case !s.dropping(at):
			key := console.Key{Keyboard: thing.Index, Note: thing.Note}
			h := keys[key]
			h.Key, h.Deep = key, h.Deep || thing.Kind == mapping.Second
			keys[key] = h
		}
	}
	for _, h := range keys {
		held = append(held, h)
	}
	slices.SortFunc(held, func(a, b console.Held) int {
		return cmp.Or(cmp.Compare(a.Keyboard, b.Keyboard), cmp.Compare(a.Note, b.Note))
	})
	slices.Sort(on)
	return held, on
}
