package mapping

import (
	"strings"
	"time"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// Limits are how long the last message may take to leave the link after what
// caused it; 0: as long as it likes.
type Limits struct{ Chord, General, Sweep time.Duration }

var headings = []string{"keys", "lines", "valves", "shoes", "crescendo", "controls", "buttons", "baud", "slow"}

// Load reads the map of an instrument, the default one where it has none. The
// map is nil when the section has no meaning; the findings then say why. Of a
// map with a meaning they are what collides in it.
func Load(in *console.Instrument) (*Map, []finding.Finding) {
	l := &loader{Source: &yamldoc.Source{File: in.File}, in: in, m: newMap(in)}
	if in.MIDI != nil && mapsAnything(in.MIDI) {
		l.m.at = l.Place(in.MIDI)
		l.link(l.read(in.MIDI))
	} else {
		l.m.at, l.m.Default = finding.Place{File: in.File}, true
		section, _ := yamldoc.Parse(in.File, []byte(Section(in)))
		l.read(section)
		if in.MIDI != nil {
			l.link(l.Fields(in.MIDI, "midi", headings))
		}
	}
	if finding.Broken(l.Findings) {
		finding.Sort(l.Findings)
		return nil, l.Findings
	}
	found := l.m.collisions()
	finding.Sort(found)
	return l.m, found
}

func newMap(in *console.Instrument) *Map {
	return &Map{in: in, byThing: map[Thing]int{}, Baud: 31250, Limits: Limits{20 * time.Millisecond, 100 * time.Millisecond, 100 * time.Millisecond}}
}

// mapsAnything reports whether the section says more than how fast the link is.
func mapsAnything(n *yamldoc.Node) bool {
	for _, p := range n.Pairs {
		if p.Key.Text != "baud" && p.Key.Text != "slow" {
			return true
		}
	}
	return false
}

// loader turns the section into a map.
type loader struct {
	*yamldoc.Source
	in *console.Instrument
	m  *Map
}

func (l *loader) read(n *yamldoc.Node) yamldoc.Fields {
	f := l.Fields(n, "midi", headings)
	for _, p := range f.Map("keys") {
		l.keyboard(p)
	}
	for _, p := range f.Map("lines") {
		l.lines(p)
	}
	l.valves(f.Map("valves"))
	for _, p := range f.Map("shoes") {
		l.shoe(p)
	}
	l.crescendo(f.Node("crescendo"))
	l.switches(f.Map("controls"), controlsOf(l.in))
	l.switches(f.Map("buttons"), buttonsOf(l.in))
	return f
}

// place is where a node of the file stands; of the default map only the file.
func (l *loader) place(n *yamldoc.Node) finding.Place {
	if l.m.Default {
		return finding.Place{File: l.File}
	}
	return l.Place(n)
}

// add gives a thing its messages; a second line for it replaces the first.
func (l *loader) add(e Entry) {
	if i, ok := l.m.byThing[e.Thing]; ok {
		l.m.Entries[i] = e
		return
	}
	l.m.byThing[e.Thing] = len(l.m.Entries)
	l.m.Entries = append(l.m.Entries, e)
}

// wayWords are the ways that a field `way` may name.
const toOrgan, toConsole, bothWays = "to-organ", "to-console", "both"

// ways puts a form on the ways that a map names, or otherwise.
func (l *loader) ways(f yamldoc.Fields, otherwise string, it *form) (forms [ways]*form) {
	way := f.Choice("way", otherwise, toOrgan, toConsole, bothWays)
	if way != toConsole {
		forms[ToOrgan] = it
	}
	if way != toOrgan {
		forms[ToConsole] = it
	}
	return forms
}

// channel reads `channel 1`, or a map with a field `channel`.
func (l *loader) channel(n *yamldoc.Node, what string, known ...string) (f yamldoc.Fields, channel int) {
	if n.Kind == yamldoc.Scalar {
		rest, found := strings.CutPrefix(n.Text, "channel ")
		if !found {
			l.Wrong(n, "write it like channel 1", "%q is no channel", n.Text)
			return f, 0
		}
		channel, err := parseChannel(strings.TrimSpace(rest))
		if err != nil {
			l.Wrong(n, "", "%s", err)
		}
		return l.Fields(&yamldoc.Node{Kind: yamldoc.Map}, what, nil), channel
	}
	f = l.Fields(n, what, append([]string{"channel", "way"}, known...))
	if f.Need("channel") == nil {
		return f, 0
	}
	return f, f.Int("channel", 1, 16, 0)
}

// find is the index of an id among so many.
func (l *loader) find(id *yamldoc.Node, kind string, n int, of func(int) string) (int, bool) {
	var ids []string
	for i := range n {
		if of(i) == id.Text {
			return i, true
		}
		ids = append(ids, of(i))
	}
	l.Unknown(id, kind, id.Text, ids)
	return 0, false
}

func (l *loader) keyboard(p yamldoc.Pair) {
	k, ok := l.find(p.Key, "keyboard", len(l.in.Keyboards), func(i int) string { return l.in.Keyboards[i].ID })
	f, channel := l.channel(p.Value, "a keyboard's keys", "second", "lowest")
	if !ok || channel == 0 {
		return
	}
	keyboard := l.in.Keyboards[k]
	l.notes(p, f, Thing{Key, k, 0}, keyboard.Keys, channel)
	if n := f.Node("second"); n != nil {
		if keyboard.Touches < 2 {
			l.Wrong(n, "take it away", "%s has no second contacts", keyboard.ID)
		}
		l.notes(p, f, Thing{Second, k, 0}, keyboard.Keys, f.Int("second", 1, 16, channel))
	}
}

func (l *loader) lines(p yamldoc.Pair) {
	d, ok := l.find(p.Key, "division", len(l.in.Divisions), func(i int) string { return l.in.Divisions[i].ID })
	f, channel := l.channel(p.Value, "a division's lines", "lowest")
	if ok && channel > 0 {
		l.notes(p, f, Thing{Line, d, 0}, l.in.Divisions[d].Notes, channel)
	}
}

// notes adds a note for each note of a span, its own number or from `lowest` up.
func (l *loader) notes(p yamldoc.Pair, f yamldoc.Fields, t Thing, span console.Span, channel int) {
	lowest := span.From
	if n := f.Node("lowest"); n != nil {
		var err error
		if lowest, err = console.ParseNote(l.Text(n)); err != nil {
			l.Wrong(n, "", "%s", err)
			return
		}
	}
	if int(lowest)+span.Len()-1 > fully {
		l.Wrong(p.Value, "", "from %v up there are no numbers for %s", lowest, span)
		return
	}
	for n := span.From; n <= span.To; n++ {
		t.Note = n
		it := &form{manner: whole, on: noteShape(channel, int(lowest+n-span.From))}
		l.add(Entry{Thing: t, At: l.place(p.Key), forms: l.ways(f, toOrgan, it)})
	}
}

func noteShape(channel, number int) shape {
	return shape{status: noteOn | byte(channel-1), number: number, value: open, hole: open}
}

// link reads how fast the link is and how slow it may be.
func (l *loader) link(f yamldoc.Fields) {
	if n := f.Node("baud"); n != nil && l.Text(n) == "none" {
		l.m.Baud = 0
	} else {
		l.m.Baud = f.Int("baud", 50, 4_000_000, l.m.Baud)
	}
	n := f.Node("slow")
	if n == nil {
		return
	}
	if n.Kind == yamldoc.Scalar {
		limit := l.duration(n, "slow", 0)
		l.m.Limits = Limits{limit, limit, limit}
		return
	}
	slow := l.Fields(n, "slow", []string{"chord", "general", "sweep"})
	l.m.Limits.Chord = l.duration(slow.Node("chord"), "chord", l.m.Limits.Chord)
	l.m.Limits.General = l.duration(slow.Node("general"), "general", l.m.Limits.General)
	l.m.Limits.Sweep = l.duration(slow.Node("sweep"), "sweep", l.m.Limits.Sweep)
}

// duration reads 20ms, or `never` for 0.
func (l *loader) duration(n *yamldoc.Node, name string, otherwise time.Duration) time.Duration {
	if n == nil {
		return otherwise
	}
	if l.Text(n) == "never" {
		return 0
	}
	d, err := time.ParseDuration(n.Text)
	if err != nil || d <= 0 || d > time.Minute {
		l.Wrong(n, "write it like 20ms", "%s is no time up to a minute: %q", name, n.Text)
		return otherwise
	}
	return d
}
