package desk

import (
	"fmt"
	"strings"

	"trundle/combination"
	"trundle/console"
)

// outlook is what working an item would change, found on a console beside.
type outlook struct {
	item    Item // worked out for it, at a version of the console
	version int

	draws, pushes      []int    // controls whose knobs would move
	adds, drops        []int    // that would come on, or go off, without their knobs
	comes, goes, stays int      // pipes that would begin to speak, fall silent, go on
	does               []string // what else it would do
	says               []string // what the console would say
}

// outlook is that of the item under the cursor, nil when working it moves
// neither knobs nor what is on without them.
func (m *Model) outlook() *outlook {
	events := m.pressing(m.cursor)
	if events == nil {
		return nil
	}
	if o := m.foreseen; o != nil && o.item == m.cursor && o.version == m.version {
		return o
	}
	machine := m.console.Machine()
	twin := m.twin(m.drawn(), machine.Tutti())
	for h, contacts := range m.held {
		twin.Do(0, console.KeyMoved(h.Key, contacts, h.source))
	}
	before := m.standing(twin)
	o := &outlook{item: m.cursor, version: m.version}
	for _, e := range events {
		for _, effect := range twin.Do(0, e) {
			switch effect.Kind {
			case console.SaysEffect, console.RefusedEffect:
				o.says = append(o.says, effect.Text)
			case console.MemoryEffect:
				o.does = append(o.does, fmt.Sprintf("goes to memory %d", effect.Value))
			case console.PlaceEffect:
				if effect.Index != m.worker(m.cursor) {
					o.does = append(o.does, "presses "+m.in.SlotText(console.Slot{Memory: effect.Value, Button: effect.Index}))
				}
			}
		}
	}
	o.compare(m.in, before, m.standing(twin))
	m.foreseen = o
	return o
}

// pressing is what is done to an item that may move many controls at once.
func (m *Model) pressing(i Item) []console.Event {
	switch {
	case i.Kind == ButtonItem && !m.setHeld && m.buttonKind(i.Index) != console.Set:
		return []console.Event{console.Press(i.Index), console.Release(i.Index)}
	case i.Kind == TuttiItem:
		return []console.Event{tuttiTurned(!m.console.Machine().Tutti())}
	}
	return nil
}

// twin is a console beside that stands as the desk's does, but for its keys and
// with these controls drawn.
func (m *Model) twin(drawn []bool, tutti bool) *combination.Console {
	machine := m.console.Machine()
	sequence, stage := machine.Crescendo()
	c := combination.New(m.in, m.console.Memories())
	events := []console.Event{{Kind: console.ObeyEvent, Value: 1}}
	if place := m.console.Place(); place.Button != console.None {
		events = append(events, console.Event{Kind: console.MemoryEvent, Value: place.Memory}, console.Press(place.Button))
	}
	events = append(events, console.Event{Kind: console.MemoryEvent, Value: m.console.Memory()})
	for control, is := range drawn {
		if is {
			events = append(events, console.Draw(control))
		} else {
			events = append(events, console.Push(control))
		}
	}
	if len(m.in.Crescendo) > 0 {
		events = append(events, console.Event{Kind: console.SequenceEvent, Index: sequence}, console.Event{Kind: console.StageEvent, Value: stage})
	}
	events = append(events, tuttiTurned(tutti))
	if by := machine.Transpose(); by != 0 {
		events = append(events, console.Event{Kind: console.TransposeEvent, Value: by})
	}
	for _, e := range events {
		c.Do(0, e)
	}
	return c
}

// standing is how controls and pipes stand.
type standing struct{ drawn, on, speaks []bool }

func (m *Model) standing(c *combination.Console) standing {
	s := standing{make([]bool, len(m.in.Controls)), make([]bool, len(m.in.Controls)), make([]bool, m.in.Valves)}
	for control := range m.in.Controls {
		s.drawn[control], s.on[control] = c.Machine().Drawn(control), c.Machine().On(control)
	}
	for valve := range s.speaks {
		s.speaks[valve] = c.Machine().Sounding().Speaks(valve)
	}
	return s
}

// compare lists what differs.
func (o *outlook) compare(in *console.Instrument, before, after standing) {
	for c := range in.Controls {
		switch was, is := before.drawn[c], after.drawn[c]; {
		case is && !was:
			o.draws = append(o.draws, c)
		case was && !is:
			o.pushes = append(o.pushes, c)
		case after.on[c] && !before.on[c]:
			o.adds = append(o.adds, c)
		case before.on[c] && !after.on[c]:
			o.drops = append(o.drops, c)
		}
	}
	for _, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			was, is := before.speaks[rank.Valve(v)], after.speaks[rank.Valve(v)]
			switch pipes := rank.PipesOn(v); {
			case is && was:
				o.stays += pipes
			case is:
				o.comes += pipes
			case was:
				o.goes += pipes
			}
		}
	}
}

// text is what would change in a few words, at a key that would do it.
func (o *outlook) text(key string) string {
	does := append([]string(nil), o.does...)
	for _, w := range []struct {
		what, behind string
		of           []int
	}{{"draws ", "", o.draws}, {"pushes ", " in", o.pushes}, {"turns ", " on", o.adds}, {"turns ", " off", o.drops}} {
		if len(w.of) > 0 {
			does = append(does, fmt.Sprint(w.what, len(w.of), w.behind))
		}
	}
	switch {
	case does == nil && o.says != nil:
		return strings.Join(o.says, "; ")
	case does == nil:
		return key + " changes nothing"
	}
	return strings.Join(append(o.says, key+" "+strings.Join(does, ", ")), "; ")
}
