package mapping

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Text is the map as the section `midi` of an instrument file, from its first
// heading on, indented by two blanks. Controls and buttons that follow one
// another in the file and in their numbers are one rule.
func (m *Map) Text() string {
	var b strings.Builder
	heading := func(name string, kinds ...Kind) {
		first := true
		for i := 0; i < len(m.Entries); {
			e := m.Entries[i]
			n := 1
			if slices.Contains(kinds, e.Kind) {
				if first {
					fmt.Fprintf(&b, "  %s:\n", name)
				}
				first = false
				var line string
				line, n = m.line(i)
				fmt.Fprintf(&b, "    %s\n", line)
			}
			i += n
		}
	}
	heading("keys", Key)
	heading("lines", Line)
	heading("valves", Valve)
	heading("shoes", Shoe)
	if e, ok := m.Find(Thing{Kind: Stage}); ok {
		fmt.Fprintf(&b, "  crescendo: %s\n", inline(e.attributes()))
	}
	for _, h := range []struct {
		name string
		of   switches
	}{{"controls", controlsOf(m.in)}, {"buttons", buttonsOf(m.in)}} {
		if lines := m.rules(h.of); lines != nil {
			fmt.Fprintf(&b, "  %s:\n    %s\n", h.name, strings.Join(lines, "\n    "))
		}
	}
	m.link(&b)
	return b.String()
}

// link writes what the map says of the link, where that is not as usual.
func (m *Map) link(b *strings.Builder) {
	usual := newMap(m.in)
	switch m.Baud {
	case usual.Baud:
	case 0:
		b.WriteString("  baud: none\n")
	default:
		fmt.Fprintf(b, "  baud: %d\n", m.Baud)
	}
	if l := m.Limits; l != usual.Limits {
		fmt.Fprintf(b, "  slow: {chord: %s, general: %s, sweep: %s}\n", limit(l.Chord), limit(l.General), limit(l.Sweep))
	}
}

func limit(d time.Duration) string {
	if d == 0 {
		return "never"
	}
	return d.String()
}

// attribute is a field of a line and its value.
type attribute struct{ name, value string }

// inline is one message, or the fields of a flow map.
func inline(list []attribute) string {
	if len(list) == 1 && (list[0].name == "message" || list[0].name == "channel") {
		return strings.TrimPrefix(list[0].name+" ", "message ") + list[0].value
	}
	var fields []string
	for _, a := range list {
		fields = append(fields, a.name+": "+a.value)
	}
	return "{" + strings.Join(fields, ", ") + "}"
}

// line is the line of the entry at i, and of how many that come at once.
func (m *Map) line(i int) (text string, n int) {
	e := m.Entries[i]
	n = m.together(i)
	way, channel, number := e.way(toOrgan), e.either().on.channel(), e.either().on.number
	list := []attribute{{"channel", strconv.Itoa(channel)}}
	switch e.Kind {
	case Shoe:
		return m.in.Shoes[e.Index].ID + ": " + inline(e.attributes()), n
	case Valve:
		if number >= firstNRPN {
			return m.ranks(e.Thing, n) + ": " + runFrom(e.either().on, 1), n
		}
		if number != 0 {
			list = append(list, attribute{"first", strconv.Itoa(number)})
		}
		return m.ranks(e.Thing, n) + ": " + inline(append(list, way...)), n
	case Line:
		if number != int(e.Note) {
			list = append(list, attribute{"lowest", strconv.Itoa(number)})
		}
		return m.in.Divisions[e.Index].ID + ": " + inline(append(list, way...)), n
	}
	if second, ok := m.Find(Thing{Second, e.Index, e.Note}); ok {
		list = append(list, attribute{"second", strconv.Itoa(second.either().on.channel())})
	}
	if number != int(e.Note) {
		list = append(list, attribute{"lowest", strconv.Itoa(number)})
	}
	return m.in.Keyboards[e.Index].ID + ": " + inline(append(list, way...)), n
}

// together is how many entries from i on have one line: the keys of a keyboard,
// the lines of a division, the valves of a rank, or of all ranks where their
// messages follow one another.
func (m *Map) together(i int) int {
	e := m.Entries[i].Thing
	if e.Kind == Valve && e.Index == 0 && m.allInOne(i) {
		return m.in.Valves
	}
	return m.while(i, func(t Thing) bool {
		switch {
		case t.Kind != e.Kind:
		case t.Kind == Key, t.Kind == Second, t.Kind == Line:
			return t.Index == e.Index
		case t.Kind == Valve:
			return m.in.RankOf(t.Index) == m.in.RankOf(e.Index)
		}
		return false
	})
}

// while is how many entries from i on are alike.
func (m *Map) while(i int, alike func(Thing) bool) (n int) {
	for n = 1; i+n < len(m.Entries) && alike(m.Entries[i+n].Thing); n++ {
	}
	return n
}

// allInOne reports whether the valves of all ranks, from the entry at i on, have
// messages that follow one another.
func (m *Map) allInOne(i int) bool {
	if len(m.in.Ranks) < 2 || hasRank(m.in, allRanks) || i+m.in.Valves > len(m.Entries) {
		return false
	}
	first := m.Entries[i]
	for n, e := range m.Entries[i : i+m.in.Valves] {
		if e.Kind != Valve || e.Index != n || e.Has(ToOrgan) != first.Has(ToOrgan) || e.Has(ToConsole) != first.Has(ToConsole) || e.either().on != first.either().on.behind(n) {
			return false
		}
	}
	return true
}

// ranks is what a line of so many valves is about.
func (m *Map) ranks(first Thing, n int) string {
	if rank := m.in.Ranks[m.in.RankOf(first.Index)]; n == rank.Pipes {
		return rank.ID
	}
	return allRanks
}

// either is the form that goes to the organ, or else to the console.
func (e Entry) either() *form {
	if f := e.forms[ToOrgan]; f != nil {
		return f
	}
	return e.forms[ToConsole]
}

// way is the field `way`, none where it is as usual.
func (e Entry) way(usual string) []attribute {
	way := bothWays
	switch {
	case e.forms[ToConsole] == nil:
		way = toOrgan
	case e.forms[ToOrgan] == nil:
		way = toConsole
	}
	if way == usual {
		return nil
	}
	return []attribute{{"way", way}}
}

// attributes are those of a shoe or the crescendo.
func (e Entry) attributes() []attribute {
	f := e.either()
	list := []attribute{{"message", f.on.String()}}
	if f.fine {
		list = append(list, attribute{"fine", "true"})
	}
	if e.Kind == Shoe {
		if e.hysteresis != defaultHysteresis {
			list = append(list, attribute{"hysteresis", strconv.Itoa(e.hysteresis)})
		}
		if e.every != defaultRate {
			list = append(list, attribute{"every", limit(e.every)})
		}
	}
	return append(list, e.way(bothWays)...)
}

// rules are the lines of controls or buttons.
func (m *Map) rules(s switches) (lines []string) {
	for i := 0; i < len(s.ids); {
		e, ok := m.Find(Thing{Kind: s.kind, Index: i})
		if !ok {
			i++
			continue
		}
		run := []Entry{e}
		for i+len(run) < len(s.ids) {
			next, ok := m.Find(Thing{Kind: s.kind, Index: i + len(run)})
			if !ok || phrases(append(run[:len(run):len(run)], next)) == nil {
				break
			}
			run = append(run, next)
		}
		name := s.ids[i]
		if len(run) > 1 {
			name = s.name(i, i+len(run)-1)
		}
		lines = append(lines, name+": "+inline(switching(run)))
		i += len(run)
	}
	return lines
}

// name is the shortest name of a run: a group, or its ends.
func (s switches) name(first, last int) string {
	for _, group := range s.groups {
		from, to, n := -1, -1, 0
		for i := range s.ids {
			if s.in(i, group) {
				if from < 0 {
					from = i
				}
				to, n = i, n+1
			}
		}
		if from == first && to == last && n == last-first+1 {
			return group
		}
	}
	return s.ids[first] + ".." + s.ids[last]
}

// switching are the fields of a line of controls or buttons.
func switching(run []Entry) []attribute {
	texts := phrases(run)
	e := run[0]
	to, from := e.forms[ToOrgan], e.forms[ToConsole]
	var list []attribute
	field := func(f *form, names ...string) {
		list = append(list, attribute{names[0], texts[0]})
		texts = texts[1:]
		if f.manner == apart {
			list = append(list, attribute{names[1], texts[0]})
			texts = texts[1:]
		}
	}
	names := func(f *form) []string {
		switch f.manner {
		case apart:
			return []string{"on", "off"}
		case press:
			return []string{"press"}
		}
		return []string{"message"}
	}
	switch {
	case to == nil:
		field(from, names(from)...)
		return append(list, attribute{"way", toConsole})
	case from == nil:
		field(to, names(to)...)
		if to.manner == strike || to.manner == press && !to.on.isOpen() {
			return list
		}
		return append(list, attribute{"way", toOrgan})
	}
	field(to, names(to)...)
	switch {
	case *from == *to || to.manner == press && from.manner == whole && from.on == to.on:
	case from.manner == apart:
		field(from, "lamp-on", "lamp-off")
	default:
		field(from, "lamp")
	}
	return list
}
