package bench

import (
	"time"

	"trundle/midiio/mapping"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// Plug puts a plug into the relay, which is that of the stand-in: what is driven
// through it makes contacts, scanned as all are, and what is read of them is
// reported as keys. Nothing is said of valves.
func (s *StandIn) Plug(loop probe.Loop, r *wiring.Relay) {
	s.relay, s.loop, s.looped = probe.CompileWith(r, s.in, loop), loop, make([]contact, len(loop))
	s.unsettle(0)
}

// report says of a key behind the plug how it is read.
func (s *StandIn) report(i int) mapping.Signal {
	signal := mapping.Signal{Thing: mapping.Thing{Kind: mapping.Key, Index: s.loop[i].Key.Keyboard, Note: s.loop[i].Key.Note}}
	if s.looped[i].read {
		signal.Value = 1
	}
	return signal
}

// scanLoop reads the contacts behind the plug.
func (s *StandIn) scanLoop(at time.Duration) {
	for i := range s.looped {
		c := &s.looped[i]
		if c.scan(at, s.timing.Debounce) {
			s.reports = append(s.reports, timed[mapping.Signal]{at, s.report(i)})
		}
		s.stale = s.stale || c.moving(at)
	}
}

// lead lets outputs make and break the contacts behind the plug.
func (s *StandIn) lead(at time.Duration) {
	held, on := s.state(at)
	driven := s.relay.Step(held, on, func(i int) bool { return s.looped[i].read })
	for i := range s.looped {
		c := &s.looped[i]
		if made := driven.Has(i); made != c.made {
			if c.made, c.bounces = made, nil; s.timing.Late > 0 {
				c.bounces = []time.Duration{at + s.timing.Late}
			}
			s.stale = true
		}
	}
}
