package mapping

import (
	"fmt"
	"slices"
	"time"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
)

// sweep is how long a foot takes to open the crescendo's shoe. (A choice: no
// source.)
const sweep = time.Second

// Taken is how long something takes on the link: from what causes it until the
// last byte that it causes has left.
type Taken struct {
	What  string // a chord, a general, a crescendo sweep
	Bytes int
	Time  time.Duration
	Limit time.Duration // 0: none

	most map[finding.Place]int // bytes, by the lines that give them
}

// Times is what the worst chord, general and sweep of the crescendo take on
// the link of the map, a byte being 10 bits (MIDI 1.0), with running status.
// The chord is one that ten fingers and two feet can hold, with all stops and
// couplers drawn; it is held throughout the other two, where nothing is drawn
// before. None where nothing is known of the link.
func (m *Map) Times() []Taken {
	if m.Baud == 0 {
		return nil
	}
	keys := m.worstChord()
	times := []Taken{m.chord(keys)}
	if t, ok := m.general(keys); ok {
		times = append(times, t)
	}
	if t, ok := m.sweep(keys); ok {
		times = append(times, t)
	}
	return times
}

// Slow is a finding for each of Times that takes longer than it may; none of a
// default map, for nobody has said that there is a link.
func (m *Map) Slow() (found []finding.Finding) {
	if m.Default {
		return nil
	}
	for _, t := range m.Times() {
		if t.Limit == 0 || t.Time <= t.Limit {
			continue
		}
		at, most := m.at, 0
		for place, bytes := range t.most {
			if bytes > most || bytes == most && place.Compare(at) < 0 {
				at, most = place, bytes
			}
		}
		found = append(found, finding.Finding{Rule: "link-slow", Severity: finding.Warning, Place: at,
			Message: fmt.Sprintf("%s takes %s on the link, %d bytes at %d baud, and may take %s; %d of them are of this line",
				t.What, milliseconds(t.Time), t.Bytes, m.Baud, milliseconds(t.Limit), most),
			Fix: "spread it over several links, send keys in the place of lines or valves, or set `slow`"})
	}
	return found
}

func milliseconds(d time.Duration) string {
	return fmt.Sprintf("%.1f ms", float64(d)/float64(time.Millisecond))
}

// wire is a console and its end of a cable whose traffic is timed.
type wire struct {
	m       *Map
	machine *console.Machine
	end     *End
	encoder midiio.Encoder
	decode  decoder
	free    time.Duration
	taken   Taken
}

func (m *Map) wire(what string, limit time.Duration) *wire {
	return &wire{m: m, machine: console.NewMachine(m.in), end: m.End(AtConsole, "far"), decode: m.heard[ToOrgan].decoder(),
		taken: Taken{What: what, Limit: limit, most: map[finding.Place]int{}}}
}

// do does events at the console and times what it says of them.
func (w *wire) do(at time.Duration, events ...console.Event) {
	out := w.end.Tick(nil, at)
	for _, e := range events {
		out = w.end.Did(out, at, "", e)
	}
	for _, f := range w.machine.Do(nil, at, events...) {
		out = w.end.Say(out, f)
	}
	w.pass(at, w.end.Lines(out, w.machine.Sounding()))
}

// pass puts messages on the link.
func (w *wire) pass(at time.Duration, out []midiio.Message) {
	var scratch []byte
	before := w.taken.Bytes
	for _, message := range out {
		scratch = w.encoder.Append(scratch[:0], message)
		w.taken.Bytes += len(scratch)
		w.decode.follow(message)
		if of, _, known := w.decode.look(message); known {
			w.taken.most[w.m.Entries[of.entry].At] += len(scratch)
		}
	}
	w.free = max(w.free, at) + time.Duration(w.taken.Bytes-before)*midiio.ByteTime(w.m.Baud)
	w.taken.Time = max(w.taken.Time, w.free-at)
}

// quiet forgets what was said so far.
func (w *wire) quiet() {
	w.taken.Bytes, w.taken.Time, w.free = 0, 0, 0
	clear(w.taken.most)
}

func held(keys []console.Key) (events []console.Event) {
	for _, k := range keys {
		events = append(events, console.KeyMoved(k, 1, ""))
	}
	return events
}

// full draws all stops and couplers.
func (w *wire) full() {
	var events []console.Event
	for c, control := range w.m.in.Controls {
		if control.Kind == console.StopControl || control.Kind == console.CouplerControl {
			events = append(events, console.Draw(c))
		}
	}
	w.do(0, events...)
	w.quiet()
}

func (m *Map) chord(keys []console.Key) Taken {
	w := m.wire("a chord of "+fmt.Sprint(len(keys))+" keys with all stops and couplers", m.Limits.Chord)
	w.full()
	w.do(0, held(keys)...)
	return w.taken
}

// general is the general that takes the most controls, pressed with a chord
// held; what it says to the console, knobs and lamps, if that is more.
func (m *Map) general(keys []console.Key) (Taken, bool) {
	var controls []int
	name := ""
	for _, b := range buttons(m.in) {
		if takes := m.in.Takes(b); b.Kind == console.General && len(takes) > len(controls) {
			controls, name = takes, b.ID
		}
	}
	if controls == nil {
		return Taken{}, false
	}
	w := m.wire(name+" drawing all it takes under a chord", m.Limits.General)
	w.do(0, held(keys)...)
	w.quiet()
	var events []console.Event
	for _, c := range controls {
		events = append(events, console.Draw(c))
	}
	w.do(0, events...)
	back := m.wire(name+" moving all knobs and lamps it takes", m.Limits.General)
	back.decode = m.heard[ToConsole].decoder()
	far := m.End(AtOrgan, "far")
	var out []midiio.Message
	for _, c := range controls {
		out = far.Tell(out, Signal{Thing{Kind: Control, Index: c}, 1})
	}
	back.pass(0, out)
	if back.taken.Time > w.taken.Time {
		return back.taken, true
	}
	return w.taken, true
}

// sweep opens the crescendo in a second, under a chord.
func (m *Map) sweep(keys []console.Key) (Taken, bool) {
	if len(m.in.Crescendo) == 0 {
		return Taken{}, false
	}
	w := m.wire("a crescendo sweep of a second under a chord", m.Limits.Sweep)
	w.do(0, held(keys)...)
	w.quiet()
	shoe := slices.IndexFunc(m.in.Shoes, func(s console.Shoe) bool { return s.Crescendo })
	const steps = 128
	for i := range steps {
		at := sweep * time.Duration(i) / steps
		if shoe >= 0 {
			w.do(at, console.MoveShoe(shoe, (i+1)*(console.ShoeMost+1)/steps-1))
			continue
		}
		stages := len(m.in.Crescendo[0].Stages)
		w.do(at, console.Event{Kind: console.StageEvent, Value: (i + 1) * stages / steps})
	}
	return w.taken, true
}
