package mapping

import (
	"time"

	"trundle/console"
	"trundle/midiio"
)

// settling is how long the console's end heeds no knob, lamp or shoe of the other
// after it has told of its own: what the other told meanwhile is on the way, and
// the console's contacts are the truth.
const settling = 500 * time.Millisecond

const unknown = -1

// End is one end of a cable. It knows what the other end was told and what it
// said itself, so that nothing is said back to where it came from.
type End struct {
	m      *Map
	side   Side
	name   string
	decode decoder

	known   []int                   // by entry: how the other end has it, or unknown
	held    map[console.Key]contact // keys that the other end holds
	pressed []bool                  // by entry: a button that it holds
	place   []int                   // by entry: position of a shoe, as heard
	holds   []hold                  // keys that others hold
	shoes   []pending               // by entry
	lines   []int                   // entries
	moving  []int                   // entries of shoes
	deaf    time.Duration           // knobs, lamps and shoes are not heeded before
	heard   Heard
}

// contact is which contacts of a key are made.
type contact struct{ first, second bool }

func (c contact) count() int {
	switch {
	case c.second:
		return 2
	case c.first:
		return 1
	}
	return 0
}

// Heard is what a message says. Its lists are good until the next call.
type Heard struct {
	Known   bool            // the map, or MIDI itself, gives it a meaning
	Signals []Signal        // what it is about
	Events  []console.Event // for the console machine; keys carry the end's name as source
}

// End begins an end of a cable with a name, which is the source of the keys
// that it hears.
func (m *Map) End(side Side, name string) *End {
	e := &End{m: m, side: side, name: name, known: make([]int, len(m.Entries)), place: make([]int, len(m.Entries)),
		shoes: make([]pending, len(m.Entries)), held: map[console.Key]contact{}, pressed: make([]bool, len(m.Entries))}
	for i, entry := range m.Entries {
		switch entry.Kind {
		case Line:
			e.lines = append(e.lines, i)
		case Shoe:
			e.moving = append(e.moving, i)
		}
	}
	e.reset()
	return e
}

func (e *End) reset() {
	e.decode = e.m.heard[e.side.hears()].decoder()
	for i, entry := range e.m.Entries {
		e.known[i], e.place[i], e.shoes[i] = unknown, 0, pending{}
		switch entry.Kind {
		case Key, Second, Line, Valve:
			e.known[i] = 0 // keys begin empty, and so does what follows from them
		}
	}
	e.holds = e.holds[:0]
	clear(e.held)
	clear(e.pressed)
}

// Hear takes a message from the other end. What moves a knob, a shoe or the
// crescendo is not said back; Reset All Controllers moves nothing.
func (e *End) Hear(t midiio.Timed) Heard {
	e.heard = Heard{Signals: e.heard.Signals[:0], Events: e.heard.Events[:0]}
	m := t.Message
	if m.OfPort() {
		e.heard.Known = true
		if m.Kind.Releases() {
			e.letGo(0)
		}
		return e.heard
	}
	if m.RealTime() {
		e.heard.Known = true
		if m.Status == systemReset {
			e.letGo(0)
		}
		return e.heard
	}
	if m.Channel() > 0 && m.Status&0xF0 == controlChange && m.A >= modes {
		e.heard.Known = true
		if m.A == midiio.AllSoundOff || m.A >= midiio.AllNotesOff {
			e.letGo(m.Channel())
		}
		return e.heard
	}
	e.decode.follow(m)
	of, value, known := e.decode.look(m)
	e.heard.Known = known
	if known && of.role != choose {
		e.take(t.At, of, value)
	}
	return e.heard
}

// take does what a message with a meaning says.
func (e *End) take(at time.Duration, of meaning, value int) {
	entry := &e.m.Entries[of.entry]
	on := value >= half
	switch of.role {
	case both:
		e.stands(at, of.entry, bit(on))
	case onlyOn, onlyOff:
		if on {
			e.stands(at, of.entry, bit(of.role == onlyOn))
		}
	case turn:
		if on {
			e.heard.Events = append(e.heard.Events, console.Event{Kind: console.TouchEvent, Index: entry.Index})
		}
	case stroke:
		e.stands(at, of.entry, 1)
		e.stands(at, of.entry, 0)
	case coarse:
		e.stands(at, of.entry, value<<7)
	case fine:
		e.stands(at, of.entry, e.place[of.entry]&^0x7F|value)
	case count:
		e.stands(at, of.entry, value)
	}
}

// stands notes how a thing stands, and what event that is.
func (e *End) stands(at time.Duration, i, value int) {
	entry := &e.m.Entries[i]
	e.heard.Signals = append(e.heard.Signals, Signal{entry.Thing, value})
	if entry.Kind == Shoe {
		e.place[i] = value
	}
	if at < e.deaf && entry.told() {
		return
	}
	if e.heeds(entry) {
		e.known[i] = value
	}
	var event console.Event
	switch entry.Kind {
	case Key, Second:
		event = e.key(entry.Thing, value == 1)
	case Control:
		if e.side == AtConsole && e.m.in.Controls[entry.Index].Style == console.Fixed {
			return // only the player moves it
		}
		event = console.Push(entry.Index)
		if value == 1 {
			event = console.Draw(entry.Index)
		}
	case Button:
		if e.side == AtConsole {
			return // a lamp
		}
		e.pressed[i] = value == 1
		event = console.Release(entry.Index)
		if value == 1 {
			event = console.Press(entry.Index)
		}
	case Shoe:
		e.shoes[i].waits = false
		event = console.MoveShoe(entry.Index, value)
	case Stage:
		event = console.Event{Kind: console.StageEvent, Value: value}
	default:
		return // lines and valves are no business of a console
	}
	e.heard.Events = append(e.heard.Events, event)
}

// told reports whether the console's end tells how a thing stands. Of what has a
// press it tells only that it changes.
func (e *Entry) told() bool {
	f := e.forms[ToOrgan]
	return f != nil && f.manner != press && (e.Kind == Control || e.Kind == Shoe || e.Kind == Stage)
}

// alike reports whether a thing has the same messages both ways.
func (e *Entry) alike() bool {
	to, from := e.forms[ToOrgan], e.forms[ToConsole]
	return to != nil && from != nil && *to == *from
}

// heeds reports whether the other end need not be told of a thing as it has it
// itself. It must be told of a lamp that has messages of its own, and by its
// contact of a knob whose coils have. Keys have several who hold them.
func (e *End) heeds(entry *Entry) bool {
	switch {
	case entry.Kind == Key, entry.Kind == Second:
		return false
	case entry.Kind != Control, entry.alike():
		return true
	}
	return e.side == AtConsole && (e.m.in.Controls[entry.Index].Style != console.Moving || !entry.told())
}

// key notes a contact of a key that the other end makes or breaks.
func (e *End) key(t Thing, made bool) console.Event {
	k := console.Key{Keyboard: t.Index, Note: t.Note}
	c := e.held[k]
	if t.Kind == Second {
		c.second = made
	} else {
		c.first = made
	}
	if c == (contact{}) {
		delete(e.held, k)
	} else {
		e.held[k] = c
	}
	return console.KeyMoved(k, c.count(), e.name)
}

// letGo lets go of the keys and buttons that the other end holds by a channel, 0
// by any.
func (e *End) letGo(channel int) {
	for i := range e.m.Entries {
		f := e.m.Entries[i].forms[e.side.hears()]
		if f != nil && (channel == 0 || f.on.channel() == channel) && e.holding(i) {
			e.stands(0, i, 0)
		}
	}
}

// holding reports whether the other end holds a key's contact or a button.
func (e *End) holding(i int) bool {
	entry := &e.m.Entries[i]
	switch c := e.held[console.Key{Keyboard: entry.Index, Note: entry.Note}]; entry.Kind {
	case Key:
		return c.first
	case Second:
		return c.second
	}
	return e.pressed[i]
}

// Disconnect is what the loss of the other end does: its keys and buttons let go.
func (e *End) Disconnect() []console.Event {
	e.heard = Heard{Signals: e.heard.Signals[:0], Events: e.heard.Events[:0]}
	e.letGo(0)
	e.reset()
	return e.heard.Events
}

// Words is what a message that was just heard says, "" when the map gives it
// no meaning.
func (e *End) Words(m midiio.Message) string {
	of, value, known := e.decode.look(m)
	if !known || of.role == choose {
		return ""
	}
	entry := e.m.Entries[of.entry]
	name, on := entry.Name(e.m.in), value >= half
	switch of.role {
	case both:
		return Signal{entry.Thing, bit(on)}.Words(e.m.in)
	case onlyOn, onlyOff:
		if on {
			return Signal{entry.Thing, bit(of.role == onlyOn)}.Words(e.m.in)
		}
	case turn:
		if on {
			return name + " turned over"
		}
	case stroke:
		return name + " pressed"
	case coarse:
		return Signal{entry.Thing, value << 7}.Words(e.m.in)
	case fine:
		return Signal{entry.Thing, e.place[of.entry]&^0x7F | value}.Words(e.m.in)
	case count:
		return Signal{entry.Thing, value}.Words(e.m.in)
	}
	return name + " let go of"
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}
