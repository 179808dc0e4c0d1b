package mapping

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/console"
	"trundle/midiio"
)

// Knobs is what controls send when they are worked.
type Knobs string

const (
	Stay   Knobs = "stay"   // one message as they come on, another as they go off
	Spring Knobs = "spring" // a message when they are pressed, which turns them over
	Pulse  Knobs = "pulse"  // a message that ends at once as they come on, another as they go off
)

// Learner asks for one thing after another to be worked, and makes a map of
// what it hears. It has no clock and does no input or output.
type Learner struct {
	in     *console.Instrument
	knobs  Knobs
	wanted []Thing
	kept   *Map // what was there before of other things
	made   map[Thing][]Entry
	built  *Map

	at      int   // the one of wanted that is asked for
	past    []int // those before, in the order in which they were asked for
	reader  reader
	heard   []gesture // of the one that is asked for
	moves   map[shape]*travel
	trial   []Thing // a rule that is being tried, by what it would map
	forms   []Entry // and its messages
	refused int     // how long a run was whose rule was refused
}

// NewLearner learns things, keyboards by their lowest key, in their order. Of
// what a map has besides, all stays.
func NewLearner(m *Map, things []Thing, knobs Knobs) *Learner {
	l := &Learner{in: m.in, knobs: knobs, made: map[Thing][]Entry{}, kept: newMap(m.in)}
	for _, t := range things {
		if !slices.Contains(l.wanted, t) {
			l.wanted = append(l.wanted, t)
		}
	}
	l.kept.Baud, l.kept.Limits = m.Baud, m.Limits
	if !m.Default {
		for _, e := range m.Entries {
			if !slices.ContainsFunc(things, func(t Thing) bool { return t == e.Thing || t.Kind == Key && e.ofKeyboard(t.Index) }) {
				l.kept.Entries = append(l.kept.Entries, e)
			}
		}
	}
	l.build()
	l.begin()
	return l
}

// ofKeyboard reports whether a thing is a contact of a keyboard.
func (t Thing) ofKeyboard(k int) bool { return (t.Kind == Key || t.Kind == Second) && t.Index == k }

// Map is what has been learned so far, with what was there before.
func (l *Learner) Map() *Map { return l.built }

// Learned is how many things have been given messages.
func (l *Learner) Learned() int { return len(l.made) }

// build makes the map, and says what of some things collides in it, "" when
// nothing does.
func (l *Learner) build(things ...Thing) (collides string) {
	m := newMap(l.in)
	m.Baud, m.Limits = l.kept.Baud, l.kept.Limits
	m.Entries = slices.Clone(l.kept.Entries)
	for _, t := range l.wanted {
		m.Entries = append(m.Entries, l.made[t]...)
	}
	order := []Kind{Key, Second, Line, Valve, Shoe, Stage, Control, Button}
	slices.SortStableFunc(m.Entries, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(slices.Index(order, a.Kind), slices.Index(order, b.Kind)), cmp.Compare(a.Index, b.Index), cmp.Compare(a.Note, b.Note))
	})
	for i, e := range m.Entries {
		m.byThing[e.Thing] = i
	}
	l.built = m
	for _, c := range append(m.index(ToOrgan), m.index(ToConsole)...) {
		first, second := m.Entries[c.first].Thing, m.Entries[c.second].Thing
		if slices.ContainsFunc(things, func(t Thing) bool {
			return t == first || t == second || t.Kind == Key && (first.ofKeyboard(t.Index) || second.ofKeyboard(t.Index))
		}) {
			return fmt.Sprintf("%s and %s would both be %s", first.Name(l.in), second.Name(l.in), c.shape)
		}
	}
	return ""
}

// begin begins with the thing that is asked for.
func (l *Learner) begin() {
	l.heard, l.moves = nil, map[shape]*travel{}
}

// thing is what is asked for, false when all is done.
func (l *Learner) thing() (Thing, bool) {
	if l.at >= len(l.wanted) {
		return Thing{}, false
	}
	return l.wanted[l.at], true
}

// Ask is what to do now, "" when all is done; and how far it has come.
func (l *Learner) Ask() (text string, done, of int) {
	t, more := l.thing()
	if !more {
		return "", l.at, len(l.wanted)
	}
	if l.trial != nil {
		return "to make sure, turn on the last of them, " + l.called(l.trial[len(l.trial)-1]), l.at, len(l.wanted)
	}
	first := len(l.heard) == 0
	text = "turn off " + l.called(t)
	switch {
	case t.Kind == Key:
		text = l.askKey(t)
	case t.Kind == Shoe:
		text = "move the shoe " + l.called(t) + " from end to end"
	case t.Kind == Button && first:
		text = "press " + l.called(t)
	case t.Kind == Button:
		text = "let go of " + l.called(t)
	case l.knobs == Spring:
		text = "press " + l.called(t)
	case first:
		text = "turn on " + l.called(t)
	}
	return text, l.at, len(l.wanted)
}

func (l *Learner) askKey(t Thing) string {
	keyboard := l.in.Keyboards[t.Index]
	switch len(l.heard) {
	case 0:
		return fmt.Sprintf("press the lowest key of %s, %s", keyboard.ID, keyboard.Keys.From)
	case 1:
		return fmt.Sprintf("press the highest key of %s, %s", keyboard.ID, keyboard.Keys.To)
	}
	return fmt.Sprintf("press the lowest key of %s again, to its second contact", keyboard.ID)
}

// called is the id of a thing and its name, where it has another.
func (l *Learner) called(t Thing) string {
	id, name := t.Name(l.in), ""
	switch t.Kind {
	case Control:
		name = l.in.Controls[t.Index].Name
	case Button:
		name = buttons(l.in)[t.Index].Name
	case Shoe:
		name = l.in.Shoes[t.Index].Name
	}
	if name == "" || name == id {
		return id
	}
	return id + " (" + name + ")"
}

// Hear takes a message and says what it made of it, a line each; nothing of
// what is no business of what is asked for.
func (l *Learner) Hear(m midiio.Message) []string {
	t, more := l.thing()
	g, why := l.reader.hear(m)
	switch {
	case !more:
		return nil
	case why != "":
		return []string{why}
	case g == nil, g.low && t.Kind != Shoe: // a switch says all in the high bits
		return nil
	}
	if l.trial != nil {
		return l.try(*g)
	}
	if said, taken := l.taken(m, *g); taken {
		return said
	}
	switch t.Kind {
	case Key:
		return l.key(t, *g)
	case Shoe:
		return l.move(t, *g)
	}
	return l.switched(t, *g)
}

// taken tells what else a message is already, if anything; what only ends or
// moves it is nothing to speak of.
func (l *Learner) taken(m midiio.Message, g gesture) (said []string, taken bool) {
	d := l.built.heard[ToOrgan].decoder()
	d.selected = l.reader.selected
	of, value, known := d.look(m)
	if !known || of.role == choose {
		return nil, false
	}
	other := l.built.Entries[of.entry]
	if other.Kind == Shoe || of.role == onlyOff || value < half {
		return nil, true
	}
	return []string{fmt.Sprintf("%s is %s already", g.shape, other.Name(l.in))}, true
}

// take gives the thing that is asked for its messages, and goes on, unless
// that collides.
func (l *Learner) take(t Thing, entries ...Entry) []string {
	l.begin()
	l.made[t] = entries
	if collides := l.build(t); collides != "" {
		delete(l.made, t)
		l.build()
		return []string{collides + "; work it again, or skip it"}
	}
	l.past = append(l.past, l.at)
	l.at++
	row := l.built.row(entries)
	said := fmt.Sprintf("%s: %s", row.Name, entries[0].either())
	if t.Kind == Key {
		said = row.Name + ": " + row.ToOrgan
		if last := entries[len(entries)-1]; last.Kind == Second {
			said = fmt.Sprintf("%s: channel %d, second contacts channel %d", row.Name, entries[0].either().on.channel(), last.either().on.channel())
		}
	}
	return []string{said}
}

// Skip leaves the thing that is asked for without messages.
func (l *Learner) Skip() {
	if l.trial != nil {
		l.refuse()
		return
	}
	if l.at < len(l.wanted) {
		l.past = append(l.past, l.at)
		l.at++
	}
	l.begin()
}

// Only says that nothing comes when the button that is asked for is let go of,
// and reports false when no button waits for that.
func (l *Learner) Only() (said []string, ok bool) {
	t, more := l.thing()
	if !more || t.Kind != Button || len(l.heard) == 0 {
		return nil, false
	}
	g := l.heard[0]
	it := &form{manner: strike, on: g.fixed()}
	switch {
	case g.status == noteOn|g.status&0x0F:
		it.manner = whole // that a note ends is only not said
	case it.on.isOpen():
		l.begin()
		return []string{fmt.Sprintf("%s may come with any value, so it must say when it is let go of", g.shape)}, true
	case buttons(l.in)[t.Index].Kind == console.Set:
		l.begin()
		return []string{"set is held while another is pressed: it must say when it is let go of"}, true
	}
	return l.take(t, Entry{Thing: t, forms: [ways]*form{it, nil}}), true
}

// Back begins the thing that is asked for again; where nothing was heard of it
// yet, the one before it.
func (l *Learner) Back() {
	switch {
	case l.trial != nil:
		l.refuse()
	case len(l.heard) > 0 || len(l.moves) > 0:
	case len(l.past) > 0:
		l.at = l.past[len(l.past)-1]
		l.past = l.past[:len(l.past)-1]
		l.refused = 0
		delete(l.made, l.wanted[l.at])
		l.build()
	}
	l.begin()
}
