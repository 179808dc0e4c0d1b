// Package bench exercises hardware on a MIDI port, and stands in for it: a relay
// in simulation, scripts of stimuli and expectations, and the tests of a whole
// relay. It has no clock and opens no ports: who uses it says when it is.
package bench

import (
	"cmp"
	"math/rand/v2"
	"slices"
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
// open. Its combination action works knobs of its own.
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

// contact is a contact of the console as it moves and as it is read.
type contact struct {
	made, read bool
	bounces    []time.Duration // when it turns over on its way, ascending
	alike      time.Duration   // since when it reads otherwise than `read`
	differs    bool
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

// move makes or breaks a contact, which then bounces. It reports whether it did.
func (s *StandIn) move(thing mapping.Thing, made bool, at time.Duration) bool {
	if slices.Contains(s.timing.Stuck, thing) {
		return false
	}
	c := s.contacts[thing]
	if c == nil {
		c = &contact{}
		s.contacts[thing] = c
	}
	if c.made == made {
		return false
	}
	s.unsettle(at)
	c.made, c.bounces = made, nil
	if s.timing.Bounce > 0 {
		for range 2 * (1 + s.chance.IntN(3)) {
			c.bounces = append(c.bounces, at+time.Duration(s.chance.Int64N(int64(s.timing.Bounce))))
		}
		slices.Sort(c.bounces)
	}
	return true
}

// scan reads the contact, and reports whether it is read otherwise than before.
func (c *contact) scan(at, debounce time.Duration) (changed bool) {
	stands := c.stands(at)
	switch {
	case stands == c.read:
		c.differs = false
	case !c.differs:
		c.differs, c.alike = true, at
	}
	if changed = c.differs && at-c.alike >= debounce; changed {
		c.read, c.differs = stands, false
	}
	return changed
}

// moving reports whether the contact is yet to be read as it stands in the end.
func (c *contact) moving(at time.Duration) bool {
	return c.differs || c.read != c.made || len(c.bounces) > 0 && c.bounces[len(c.bounces)-1] > at
}

// unsettle has the next scan find something that has changed.
func (s *StandIn) unsettle(at time.Duration) {
	if !s.stale && !s.dropping(s.scanned) {
		s.scanned = at - at%s.timing.Scan // nothing has moved since the last scan
	}
	s.stale = true
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
	if s.back {
		return 0, true
	}
	at, due = s.next()
	if len(s.said) > 0 && (!due || s.said[0].at < at) {
		at, due = s.said[0].at, true
	}
	if len(s.reports) > 0 && (!due || s.reports[0].at < at) {
		at, due = s.reports[0].at, true
	}
	return at, due
}

// next is when something changes by itself.
func (s *StandIn) next() (at time.Duration, due bool) {
	at, due = s.action.Next()
	sooner := func(t time.Duration, is bool) {
		if is && (!due || t < at) {
			at, due = t, true
		}
	}
	sooner(s.scanned+s.timing.Scan, s.stale || s.dropping(s.scanned))
	sooner(first(s.worked))
	sooner(first(s.knobs))
	return at, due
}

func first[T any](list []timed[T]) (at time.Duration, is bool) {
	if len(list) == 0 {
		return 0, false
	}
	return list[0].at, true
}

func (s *StandIn) dropping(at time.Duration) bool {
	return s.timing.Drop > 0 && at < s.moved+s.timing.Drop
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
	for at, due := s.next(); due && at <= now; at, due = s.next() {
		is := func(t time.Duration, due bool) bool { return due && t == at }
		switch {
		case is(first(s.knobs)):
			coil := s.knobs[0].what
			s.knobs = s.knobs[1:]
			s.arrive(coil, at)
		case is(s.scanned+s.timing.Scan, s.stale || s.dropping(s.scanned)):
			s.scanned = at
			s.scan(at)
		case is(first(s.worked)):
			event := s.worked[0].what
			s.worked = s.worked[1:]
			s.act(event, at)
		default:
			s.act(console.Event{Kind: console.TickEvent}, at)
		}
	}
}

// scan reads all contacts, and lets the outputs follow.
func (s *StandIn) scan(at time.Duration) {
	s.stale = false
	var moved []console.Event
	for thing, c := range s.contacts {
		if c.scan(at, s.timing.Debounce) && thing.Kind == mapping.Control {
			moved = append(moved, knob(thing.Index, c.read))
		}
		s.stale = s.stale || c.moving(at)
	}
	s.scanLoop(at)
	stale := s.stale
	slices.SortFunc(moved, func(a, b console.Event) int { return cmp.Compare(a.Index, b.Index) })
	for _, event := range moved {
		s.act(event, at)
	}
	s.stale = stale // what controls come to is seen at once
	if s.loop != nil {
		s.lead(at)
		return
	}
	open := s.relay.Run(s.state(at))
	for v := range s.in.Valves {
		if open.Has(v) != s.open.Has(v) {
			value := 0
			if open.Has(v) {
				value = 2
			}
			s.say(console.Effect{At: at, Kind: console.ValveEffect, Index: v, Value: value}, at)
		}
	}
	s.open = open
}

// say has an effect said when outputs follow.
func (s *StandIn) say(f console.Effect, at time.Duration) {
	s.said = append(s.said, timed[console.Effect]{at + s.timing.Late, f})
}

// state is what is held and on, as far as it is read.
func (s *StandIn) state(at time.Duration) (held []console.Held, on []int) {
	keys := map[console.Key]console.Held{}
	for thing, c := range s.contacts {
		if c.read && thing.Kind != mapping.Control && !s.dropping(at) {
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
	for c := range s.in.Controls {
		if s.action.Machine().On(c) {
			on = append(on, c)
		}
	}
	return held, on
}
