package bench

import (
	"cmp"
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio/mapping"
)

// contact is a contact of the console as it moves and as it is read.
type contact struct {
	made, read bool
	bounces    []time.Duration // when it turns over on its way, ascending
	alike      time.Duration   // since when it reads otherwise than `read`
	differs    bool
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

func (s *StandIn) dropping(at time.Duration) bool {
	return s.timing.Drop > 0 && at < s.moved+s.timing.Drop
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
