package console_test

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/combination"
	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
)

// seasoned is a generated instrument with what only the console machine acts
// on, and with buttons of every kind.
func seasoned(t *rapid.T, in *console.Instrument) *console.Instrument {
	in = spiced(t, in)
	control := func(kind console.ControlKind, index int) int {
		style := rapid.SampledFrom([]console.Style{console.Moving, console.Fixed, console.Lit}).Draw(t, "style")
		in.Controls = append(in.Controls, console.Control{Kind: kind, Index: index, Style: style})
		return len(in.Controls) - 1
	}
	for i := range in.Couplers {
		c := &in.Couplers[i]
		if c.Keyboard != console.None && c.Picks == console.PicksAll && c.Touch < 2 && rapid.IntRange(1, 3).Draw(t, "plucked") == 1 {
			c.Pulse = rapid.IntRange(1, 3000).Draw(t, "pulse")
		}
	}
	for m := range in.Keyboards {
		in.Sostenutos = append(in.Sostenutos, console.Sostenuto{Keyboards: []int{m}, Control: control(console.SostenutoControl, m)})
	}
	in.Boxes = append(in.Boxes,
		console.Box{ID: "weighted-box", Stages: 7, Code: console.Weighted, Rest: console.RestOpen},
		console.Box{ID: "table-box", Stages: 2, Code: console.Table, Table: [][]int{{}, {2}, {1, 3}}})
	in.Shoes = append(in.Shoes, console.Shoe{ID: "weighted-shoe", Boxes: []int{len(in.Boxes) - 2}}, console.Shoe{ID: "table-shoe", Boxes: []int{len(in.Boxes) - 1}})
	in.Gatherings = append(in.Gatherings, console.Gathering{Shoe: len(in.Shoes) - 1, Control: control(console.GatheringControl, 0)})
	in.Follows = append(in.Follows, console.Follow{Division: 0, With: len(in.Divisions) - 1, Control: control(console.FollowControl, 0)})
	for i := range in.Tremulants {
		in.Tremulants[i].Speeds = []float64{4, 5, 6}
	}
	in.Transposer = console.Reach{Low: -3, High: 3}
	for c := range in.Controls {
		in.Controls[c].ID = fmt.Sprintf("control-%d", c)
	}
	in.Combination.End = rapid.SampledFrom([]console.End{"", console.EndWrap, console.EndNext}).Draw(t, "end")
	for i, b := range []console.Button{
		{Kind: console.CrescendoKind, Division: console.None},
		{Kind: console.Cancel, Division: 0},
		{Kind: console.General, Division: console.None, Fixed: true, Sets: []int{0, 1}},
	} {
		b.ID, b.Keyboard, b.Control, b.Repeats = fmt.Sprintf("further-%d", i), console.None, console.None, console.None
		in.Combination.Buttons = append(in.Combination.Buttons, b)
	}
	return in
}

// whole is a console under test beside what its effects have told so far.
type whole struct {
	in      *console.Instrument
	console *combination.Console
	now     time.Duration
	log     []byte
	effects []byte

	sources []string
	answer  int // the save that waits for an answer

	asBuilt         int // comparisons in which nothing was captured into tutti and crescendo
	open, on, lamps map[int]int
	magnets         map[[2]int]bool
}

func newWhole(in *console.Instrument) *whole {
	return &whole{in: in, console: combination.New(in, nil), log: []byte(console.LogHead + "\n"), sources: []string{"", "midi", "desk"},
		open: map[int]int{}, on: map[int]int{}, lamps: map[int]int{}, magnets: map[[2]int]bool{}}
}

// kindsOf are the events to draw from; keys and knobs stand there most often.
var kindsOf = []console.EventKind{
	console.KeyEvent, console.KeyEvent, console.KeyEvent, console.KeyEvent, console.KeyEvent, console.KeyEvent,
	console.DrawEvent, console.DrawEvent, console.PushEvent, console.PushEvent, console.TouchEvent,
	console.PressEvent, console.PressEvent, console.PressEvent, console.PressEvent, console.ReleaseEvent, console.ReleaseEvent,
	console.ShoeEvent, console.StageEvent, console.SequenceEvent, console.TuttiEvent, console.TransposeEvent, console.SpeedEvent,
	console.TickEvent, console.ObeyEvent, console.MemoryEvent, console.LockEvent, console.CopyEvent, console.SwapEvent, console.ClearEvent,
	console.InsertEvent, console.UndoEvent, console.SavedEvent, console.SavedEvent, console.SaveFailedEvent,
}

// event draws any event that can be written in a log, and some of them make
// no sense on this console.
func (w *whole) event(t *rapid.T) console.Event {
	index := func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "index") }
	in := w.in
	e := console.Event{Kind: rapid.SampledFrom(kindsOf).Draw(t, "kind"), From: console.Slot{Button: console.None}, To: console.Slot{Button: console.None}}
	slot := func() console.Slot {
		s := console.Slot{Memory: rapid.IntRange(0, 3).Draw(t, "memory"), Button: console.None}
		if rapid.IntRange(0, 4).Draw(t, "whole memory") > 0 {
			s.Button = index(len(in.Combination.Buttons))
		}
		return s
	}
	switch e.Kind {
	case console.KeyEvent:
		e.Index = index(len(in.Keyboards))
		keys := in.Keyboards[e.Index].Keys
		e.Note = console.Note(rapid.IntRange(int(keys.From)-1, int(keys.To)+1).Draw(t, "key"))
		e.Value, e.Text = rapid.IntRange(0, 2).Draw(t, "contacts"), rapid.SampledFrom(w.sources).Draw(t, "source")
	case console.DrawEvent, console.PushEvent, console.TouchEvent:
		e.Index = index(len(in.Controls))
	case console.PressEvent, console.ReleaseEvent:
		e.Index = index(len(in.Combination.Buttons))
	case console.ShoeEvent:
		e.Index, e.Value = index(len(in.Shoes)), rapid.IntRange(0, console.ShoeMost).Draw(t, "position")
	case console.StageEvent:
		e.Value = rapid.IntRange(-1, 4).Draw(t, "stage")
	case console.SequenceEvent:
		e.Index = index(len(in.Crescendo))
	case console.TuttiEvent, console.ObeyEvent:
		e.Value = index(2)
	case console.TransposeEvent:
		e.Value = rapid.IntRange(-4, 4).Draw(t, "semitones")
	case console.SpeedEvent:
		if len(in.Tremulants) == 0 {
			return console.Event{Kind: console.TickEvent}
		}
		e.Index, e.Value = index(len(in.Tremulants)), rapid.IntRange(0, 4).Draw(t, "speed")
	case console.MemoryEvent:
		e.Value = rapid.IntRange(0, 3).Draw(t, "memory")
	case console.LockEvent:
		e.From.Memory, e.Value = rapid.IntRange(0, 3).Draw(t, "memory"), rapid.IntRange(0, 3).Draw(t, "lock")/3
	case console.ClearEvent, console.InsertEvent:
		e.From = slot()
	case console.CopyEvent, console.SwapEvent:
		e.From, e.To = slot(), slot()
	case console.SavedEvent, console.SaveFailedEvent:
		e.Value = w.answer
		if e.Kind == console.SaveFailedEvent {
			e.Text = "disk full"
		}
	}
	return e
}

// do does an event, writes it down, and compares everything that can be asked
// with what console/plain says and with what the effects have told.
func (w *whole) do(t require.TestingT, e console.Event) {
	w.log = w.in.AppendTimed(w.log, console.Timed{At: w.now, Event: e})
	for _, effect := range w.console.Do(w.now, e) {
		w.effects = w.in.AppendEffect(w.effects, effect)
		switch effect.Kind {
		case console.ValveEffect:
			require.NotEqual(t, w.open[effect.Index], effect.Value, "an effect that changes nothing")
			w.open[effect.Index] = effect.Value
		case console.ControlEffect:
			require.NotEqual(t, w.on[effect.Index], effect.Value, "an effect that changes nothing")
			w.on[effect.Index] = effect.Value
		case console.LampEffect:
			require.NotEqual(t, w.lamps[effect.Index], effect.Value, "an effect that changes nothing")
			w.lamps[effect.Index] = effect.Value
		case console.MagnetEffect:
			w.magnets[[2]int{effect.Index, effect.Part}] = effect.Value == 1
		case console.SaveEffect:
			w.answer = effect.Value
		}
	}
	w.compare(t)
}

func (w *whole) compare(t require.TestingT) {
	m := w.console.Machine()
	in, state := m.Reference()
	open, speaks := plain.Open(in, state), plain.Speaks(in, state)
	for v := range open {
		want := 0
		switch {
		case speaks[v]:
			want = 2
		case open[v]:
			want = 1
		}
		require.Equal(t, want, w.open[v], "valve %d", v)
	}
	drawn := make([]bool, len(w.in.Controls))
	for c := range w.in.Controls {
		require.Equal(t, m.On(c), w.on[c] == 1, "control %d", c)
		drawn[c] = m.Drawn(c)
	}
	if text := w.console.Memories().Text(); !bytes.Contains(text, []byte("\ntutti:")) && !bytes.Contains(text, []byte("\ncrescendo:")) {
		sequence, stage := m.Crescendo()
		on := w.in.On(console.State{Drawn: drawn, Sequence: sequence, Stage: stage, Tutti: m.Tutti()})
		require.Equal(t, on, state.Drawn, "drawn or added, and not dropped")
		w.asBuilt++
	}
	for b, button := range w.in.Combination.Buttons {
		if button.Repeats == console.None {
			require.Equal(t, w.console.Lamp(b), w.lamps[b] == 1, "lamp of %s", button.ID)
		}
	}
	for b, box := range w.in.Boxes {
		for magnet := 1; magnet <= box.Magnets(); magnet++ {
			told, changed := w.magnets[[2]int{b, magnet}]
			require.Equal(t, box.Energized(m.BoxStage(b), magnet), changed && told || !changed && box.Energized(0, magnet), "magnet %d of %s", magnet, box.ID)
		}
	}
}

// letGo lets go of everything that can be pressed or drawn.
func (w *whole) letGo(t require.TestingT) {
	for m, keyboard := range w.in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			for _, source := range w.sources {
				w.console.Do(w.now, console.KeyMoved(console.Key{Keyboard: m, Note: n}, 0, source))
			}
		}
	}
	w.console.Do(w.now, console.Event{Kind: console.TuttiEvent})
	w.console.Do(w.now, console.Event{Kind: console.StageEvent})
	for range 2 { // knobs under way when they were pushed in arrive, and are pushed in
		for c := range w.in.Controls {
			w.console.Do(w.now, console.Push(c))
		}
		w.now += time.Hour
		w.console.Do(w.now, console.Event{Kind: console.TickEvent})
	}
	m := w.console.Machine()
	require.True(t, m.Sounding().Idle(), "everything is let go")
	require.Zero(t, w.console.Moving(), "no knob is under way")
	_, state := m.Reference()
	require.Empty(t, state.Held, "no key is down")
	for c := range w.in.Controls {
		require.False(t, m.On(c), "control %d", c)
	}
}

// Any events in any order: what sounds is what console/plain says, effects
// tell every change and nothing else, the log of it replays to the same bytes,
// and when all is let go nothing is left over.
func TestTheWholeConsole(t *testing.T) {
	steps, asBuilt := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		w := newWhole(seasoned(t, gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), gen.Tiny)))
		for range rapid.IntRange(500, 540).Draw(t, "steps") {
			w.now += time.Duration(rapid.IntRange(0, 400).Draw(t, "wait")) * time.Millisecond
			w.do(t, w.event(t))
			steps++
		}
		asBuilt += w.asBuilt

		log, findings := console.ParseLog(w.in, "log", w.log)
		require.Empty(t, findings)
		again := combination.New(w.in, nil)
		var effects, rewritten []byte
		rewritten = append(rewritten, console.LogHead+"\n"...)
		for _, e := range log {
			rewritten = w.in.AppendTimed(rewritten, e)
			for _, effect := range again.Do(e.At, e.Event) {
				effects = w.in.AppendEffect(effects, effect)
			}
		}
		require.Equal(t, string(w.log), string(rewritten))
		require.Equal(t, string(w.effects), string(effects))

		w.letGo(t)
	})
	require.GreaterOrEqual(t, steps, 50_000)
	require.GreaterOrEqual(t, asBuilt, 10_000)
}
