package mapping

import (
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
)

// hold is a key that someone else than the other end holds.
type hold struct {
	key      console.Key
	source   string
	contacts int
}

// pending is a shoe between two messages.
type pending struct {
	said  bool
	at    time.Duration // of the last message
	waits bool
	value int // that waits
}

// Say appends the messages that tell the other end of an effect.
func (e *End) Say(to []midiio.Message, f console.Effect) []midiio.Message {
	switch f.Kind {
	case console.ValveEffect:
		return e.state(to, Thing{Kind: Valve, Index: f.Index}, bit(f.Value > 0))
	case console.StageEffect:
		return e.state(to, Thing{Kind: Stage}, f.Value)
	case console.ControlEffect:
		if e.side == AtConsole || e.indicates(f.Index) {
			return e.state(to, Thing{Kind: Control, Index: f.Index}, f.Value)
		}
	case console.LightEffect:
		if e.side == AtOrgan {
			return e.state(to, Thing{Kind: Control, Index: f.Index}, f.Value)
		}
	case console.CoilEffect: // a pulse: a knob that did not move is told again
		if e.side == AtOrgan {
			return e.Tell(to, Signal{Thing{Kind: Control, Index: f.Index}, f.Value})
		}
	case console.LampEffect:
		if e.side == AtOrgan {
			return e.Tell(to, Signal{Thing{Kind: Button, Index: f.Index}, f.Value})
		}
	}
	return to
}

// indicates reports whether a control that only the player moves has a lamp of
// its own, which shows at the organ's end whether it is on.
func (e *End) indicates(control int) bool {
	entry, _ := e.m.Find(Thing{Kind: Control, Index: control})
	return e.m.in.Controls[control].Style == console.Fixed && !entry.alike()
}

// state tells how a thing stands, unless the other end has it so.
func (e *End) state(to []midiio.Message, t Thing, value int) []midiio.Message {
	if i, ok := e.m.byThing[t]; ok && e.known[i] == value {
		return to
	}
	return e.Tell(to, Signal{t, value})
}

// Tell appends the messages that tell how a thing stands, whatever the other
// end has it as; none where it has no messages that go there.
func (e *End) Tell(to []midiio.Message, s Signal) []midiio.Message {
	i, ok := e.m.byThing[s.Thing]
	if !ok {
		return to
	}
	f := e.m.Entries[i].forms[e.side.says()]
	if f == nil {
		return to
	}
	e.known[i] = s.Value
	return f.append(to, s.Value)
}

// Did appends the messages that tell the other end of an event, which the
// named source brought about. What the other end did itself it is not told.
func (e *End) Did(to []midiio.Message, at time.Duration, source string, event console.Event) []midiio.Message {
	if event.Kind == console.KeyEvent {
		source = event.Text
	}
	if source == e.name {
		return to
	}
	switch event.Kind {
	case console.KeyEvent:
		return e.keyOf(to, console.Key{Keyboard: event.Index, Note: event.Note}, source, event.Value)
	case console.PressEvent, console.ReleaseEvent:
		if e.side == AtConsole {
			return e.Tell(to, Signal{Thing{Kind: Button, Index: event.Index}, bit(event.Kind == console.PressEvent)})
		}
	case console.ShoeEvent:
		return e.shoe(to, at, event.Index, event.Value)
	}
	return to
}

// keyOf notes who holds a key, and tells what contacts it makes in all.
func (e *End) keyOf(to []midiio.Message, k console.Key, source string, contacts int) []midiio.Message {
	e.holds = slices.DeleteFunc(e.holds, func(h hold) bool { return h.key == k && h.source == source })
	if contacts > 0 {
		e.holds = append(e.holds, hold{k, source, contacts})
	}
	most := 0
	for _, h := range e.holds {
		if h.key == k {
			most = max(most, h.contacts)
		}
	}
	first, second := Thing{Key, k.Keyboard, k.Note}, Thing{Second, k.Keyboard, k.Note}
	if most > 0 {
		to = e.state(to, first, 1)
	}
	to = e.state(to, second, bit(most > 1))
	if most == 0 {
		to = e.state(to, first, 0)
	}
	return to
}

// shoe tells where a shoe stands, if that is far enough from where it stood and
// long enough after.
func (e *End) shoe(to []midiio.Message, at time.Duration, shoe, value int) []midiio.Message {
	i, ok := e.m.byThing[Thing{Kind: Shoe, Index: shoe}]
	if !ok {
		return to
	}
	entry, p := &e.m.Entries[i], &e.shoes[i]
	f := entry.forms[e.side.says()]
	if f == nil {
		return to
	}
	if e.known[i] != unknown && f.near(e.known[i], value, entry.hysteresis) {
		p.waits = false
		return to
	}
	if p.said && at < p.at+entry.every {
		p.waits, p.value = true, value
		return to
	}
	*p = pending{said: true, at: at}
	e.known[i] = value
	if !f.fine {
		e.known[i] = value &^ 0x7F
	}
	return f.append(to, value)
}

// near reports whether a position is no more than so far from what was told.
func (f *form) near(told, value, hysteresis int) bool {
	last := told
	if !f.fine {
		last |= 0x7F
	}
	return value >= told-hysteresis && value <= last+hysteresis
}

// Next is when a shoe has waited long enough; Tick then tells where it stands.
func (e *End) Next() (at time.Duration, due bool) {
	for _, i := range e.moving {
		p := e.shoes[i]
		if next := p.at + e.m.Entries[i].every; p.waits && (!due || next < at) {
			at, due = next, true
		}
	}
	return at, due
}

// Tick appends what is due by now.
func (e *End) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	for _, i := range e.moving {
		if p := e.shoes[i]; p.waits && now >= p.at+e.m.Entries[i].every {
			e.shoes[i].waits = false
			to = e.shoe(to, now, e.m.Entries[i].Index, p.value)
		}
	}
	return to
}

// Lines appends the messages that tell of the lines after the couplers, as far
// as they are others than they were.
func (e *End) Lines(to []midiio.Message, s *console.Sounding) []midiio.Message {
	for _, i := range e.lines {
		if entry := &e.m.Entries[i]; entry.forms[e.side.says()] != nil {
			to = e.state(to, entry.Thing, bit(s.Line(entry.Index, entry.Note)))
		}
	}
	return to
}

// Connect begins anew, after the other end has come or come back, and appends
// the messages that tell it of the controls, the shoes and the crescendo. Keys
// begin empty on both sides. The lamps of buttons are effects of the
// combination action: say them behind.
func (e *End) Connect(to []midiio.Message, at time.Duration, m *console.Machine) []midiio.Message {
	e.reset()
	first := len(to)
	_, stage := m.Crescendo()
	for _, entry := range e.m.Entries {
		switch entry.Kind {
		case Control:
			to = e.introduce(to, entry, m)
		case Shoe:
			to = e.shoe(to, at, entry.Index, m.Position(entry.Index))
		case Stage:
			to = e.Tell(to, Signal{entry.Thing, stage})
		}
	}
	if e.side == AtConsole {
		e.deaf = at + settling + e.m.onLink(to[first:])
	}
	return to
}

// onLink is how long messages take on the link, 0 where nothing is known of it.
func (m *Map) onLink(messages []midiio.Message) time.Duration {
	if m.Baud == 0 {
		return 0
	}
	var encoder midiio.Encoder
	var bytes []byte
	for _, message := range messages {
		bytes = encoder.Append(bytes, message)
	}
	return time.Duration(len(bytes)) * midiio.ByteTime(m.Baud)
}

// introduce tells how a control stands, if it is for this end to tell.
func (e *End) introduce(to []midiio.Message, entry Entry, m *console.Machine) []midiio.Message {
	on := m.On(entry.Index)
	switch fixed := e.m.in.Controls[entry.Index].Style == console.Fixed; {
	case e.side == AtConsole && !entry.told():
		return to // a press would turn it over
	case e.side == AtOrgan && fixed && !e.indicates(entry.Index):
		return to
	case e.side == AtOrgan && !fixed:
		on = m.Drawn(entry.Index)
	}
	return e.Tell(to, Signal{entry.Thing, bit(on)})
}
