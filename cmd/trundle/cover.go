package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// coverage is what of a console has been worked, as the messages that it sends
// say.
type coverage struct {
	in      *console.Instrument
	m       *mapping.Map
	end     *mapping.End
	organ   *mapping.End  // knows what an organ says on the same cable: valves, lamps
	bounce  time.Duration // two movements of a contact closer than this are one stroke
	things  []mapping.Thing
	worked  map[mapping.Thing]*worked
	order   []mapping.Thing // as they were first worked
	strange []string        // messages without a meaning, each once
}

// worked is how a thing was worked.
type worked struct {
	on, off bool // it was so at some time; of a shoe: it was open, shut
	strokes int
	low     int // of a shoe: the ends that it reached
	high    int

	moves   int           // of the movement that goes on
	since   time.Duration // the first of them
	last    time.Duration
	bounces int // movements that were more than one
	longest time.Duration
}

// How near to its ends a shoe must come; hardware seldom sends all of its
// range. Common practice, no source.
const (
	shoeShut = console.ShoeMost * 5 / 100
	shoeOpen = console.ShoeMost * 95 / 100
)

func newCoverage(in *console.Instrument, m *mapping.Map, bounce time.Duration) *coverage {
	c := &coverage{in: in, m: m, end: m.End(mapping.AtOrgan, "console"), organ: m.End(mapping.AtConsole, "organ"), bounce: bounce, worked: map[mapping.Thing]*worked{}}
	for _, entry := range m.Entries {
		switch entry.Kind {
		case mapping.Line, mapping.Valve:
			continue // nobody works them
		case mapping.Stage:
			if entry.Has(mapping.ToOrgan) {
				c.addStages()
			}
			continue
		}
		if entry.Has(mapping.ToOrgan) {
			c.add(entry.Thing)
			if entry.Kind == mapping.Shoe && in.Shoes[entry.Index].Crescendo {
				c.addStages()
			}
		}
	}
	return c
}

func (c *coverage) add(t mapping.Thing) {
	if c.worked[t] == nil {
		c.things = append(c.things, t)
		c.worked[t] = &worked{low: console.ShoeMost}
	}
}

// addStages adds the stages of the crescendo, each a thing of its own.
func (c *coverage) addStages() {
	for s := range c.stages() + 1 {
		c.add(mapping.Thing{Kind: mapping.Stage, Index: s})
	}
}

func (c *coverage) stages() (most int) {
	for _, sequence := range c.in.Crescendo {
		most = max(most, len(sequence.Stages))
	}
	return most
}

// hear takes a message, and returns the things that are ticked off by it, and
// whether it is one without a meaning that did not come before.
func (c *coverage) hear(t midiio.Timed) (done []mapping.Thing, strange bool) {
	heard, told := c.end.Hear(t), c.organ.Hear(t)
	if t.Message.Kind.Releases() {
		return nil, false // its keys were not let go by the player
	}
	if text := subject(t.Message); !heard.Known && !told.Known && len(c.strange) < mostStrange && !slices.Contains(c.strange, text) {
		c.strange = append(c.strange, text)
		return nil, true
	}
	for _, s := range heard.Signals {
		switch s.Kind {
		case mapping.Shoe:
			done = c.shoe(done, s)
			if c.in.Shoes[s.Index].Crescendo {
				stage := s.Value * (c.stages() + 1) / (console.ShoeMost + 1)
				done = c.whole(done, mapping.Thing{Kind: mapping.Stage, Index: stage})
			}
		case mapping.Stage:
			done = c.whole(done, mapping.Thing{Kind: mapping.Stage, Index: s.Value})
		default:
			done = c.contact(done, t.At, s)
		}
	}
	for _, e := range heard.Events {
		if e.Kind == console.TouchEvent {
			done = c.whole(done, mapping.Thing{Kind: mapping.Control, Index: e.Index})
		}
	}
	return done, false
}

// subject is a message without its value, as a map would name it.
func subject(m midiio.Message) string {
	switch words := strings.Fields(m.String()); words[0] {
	case "note-on", "note-off":
		return fmt.Sprintf("note %s on channel %s", words[2], words[1])
	case "control-change":
		return fmt.Sprintf("controller %s on channel %s", words[2], words[1])
	}
	return m.String()
}

// mostStrange is how many messages without a meaning are listed.
const mostStrange = 100

// contact follows a contact that is made or broken.
func (c *coverage) contact(done []mapping.Thing, at time.Duration, s mapping.Signal) []mapping.Thing {
	w := c.worked[s.Thing]
	if w == nil {
		return done
	}
	before := w.done()
	if w.moves == 0 || at-w.last >= c.bounce {
		w.moves, w.since = 0, at
		if s.Value == 1 {
			w.strokes++
		}
	}
	w.moves, w.last = w.moves+1, at
	if w.moves == 3 { // there and back is a short stroke, and again is none
		w.bounces++
	}
	if w.moves >= 3 {
		w.longest = max(w.longest, at-w.since)
	}
	c.note(s.Thing, w)
	w.on, w.off = w.on || s.Value == 1, w.off || s.Value == 0 && w.on
	if w.done() && !before {
		done = append(done, s.Thing)
	}
	return done
}

// note puts a thing into the order in which they came.
func (c *coverage) note(t mapping.Thing, w *worked) {
	if !w.on {
		c.order = append(c.order, t)
	}
}

// whole ticks off a thing that one message works.
func (c *coverage) whole(done []mapping.Thing, t mapping.Thing) []mapping.Thing {
	w := c.worked[t]
	if w == nil {
		return done
	}
	w.strokes++
	if !w.done() {
		w.on, w.off = true, true
		done = append(done, t)
	}
	return done
}

func (c *coverage) shoe(done []mapping.Thing, s mapping.Signal) []mapping.Thing {
	w := c.worked[s.Thing]
	if w == nil {
		return done
	}
	before := w.done()
	w.low, w.high = min(w.low, s.Value), max(w.high, s.Value)
	w.strokes = 1
	w.on, w.off = w.high >= shoeOpen, w.low <= shoeShut
	if w.done() && !before {
		done = append(done, s.Thing)
	}
	return done
}

func (w *worked) done() bool { return w.on && w.off }

// isAll reports whether everything was worked.
func (c *coverage) isAll() bool {
	for _, w := range c.worked {
		if !w.done() {
			return false
		}
	}
	return true
}

// disorder lists the keys that came after one that stands behind them: of a
// keyboard that was mostly played downwards, before them.
func (c *coverage) disorder() (list []outOfOrder) {
	last, up := map[mapping.Thing]mapping.Thing{}, map[mapping.Thing]int{}
	var steps []outOfOrder
	for _, t := range c.order {
		if t.Kind != mapping.Key && t.Kind != mapping.Second {
			continue
		}
		keyboard := mapping.Thing{Kind: t.Kind, Index: t.Index}
		if before, ok := last[keyboard]; ok {
			steps = append(steps, outOfOrder{t, before})
			if t.Note > before.Note {
				up[keyboard]++
			} else {
				up[keyboard]--
			}
		}
		last[keyboard] = t
	}
	for _, step := range steps {
		upwards := up[mapping.Thing{Kind: step.thing.Kind, Index: step.thing.Index}] >= 0
		if step.thing.Note > step.after.Note != upwards {
			list = append(list, step)
		}
	}
	return list
}

// outOfOrder is a key that came right after another that it stands before.
type outOfOrder struct{ thing, after mapping.Thing }
