package desk

import (
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/gen"
)

// inputsEach is how many inputs a run of rapid makes; it makes 100 runs.
const inputsEach = 200

// Whatever is pressed, clicked or resized: nothing panics, all keys let go
// leave no valve open, and the terminal shows what a fresh drawing of the
// model shows, with nothing left from before.
func TestNothingThatIsPressedGoesWrong(t *testing.T) {
	made := 0
	three, relay := threeManuals(t), relayDesk(t, "").options.Relay
	rapid.Check(t, func(r *rapid.T) {
		options := Options{ASCII: rapid.Bool().Draw(r, "ascii"), Port: true, Says: rapid.SampledFrom([]Says{SaysNothing, AsConsole, AsOrgan}).Draw(r, "says")}
		in := three
		switch rapid.IntRange(0, 3).Draw(r, "instrument") {
		case 0:
			in, options.Relay = relay.in, relay
		case 1, 2:
			in = gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(r, "seed"), gen.Small)
		}
		options.Script = scriptOf(in)
		options.Map, _ = mapping.Load(in)
		h := newHammer(r, New(in, options))
		for range inputsEach {
			h.input()
			h.looks()
			made++
		}
		h.letGo()
	})
	t.Log(made, "inputs")
}

// scriptOf is a log that works a few things.
func scriptOf(in *console.Instrument) []console.Timed {
	key := console.Key{Keyboard: 0, Note: in.Keyboards[0].Keys.From}
	return []console.Timed{
		{At: time.Second, Event: console.KeyMoved(key, 1, "script")}, {At: 2 * time.Second, Event: console.Draw(0)},
		{At: 20 * time.Second, Event: console.KeyMoved(key, 0, "script")}, {At: 25 * time.Second, Event: console.Push(0)},
	}
}

// hammer works a desk at random, on a terminal that is none.
type hammer struct {
	t        *rapid.T
	m        *Model
	keys     []string
	now      time.Duration
	screen   tcell.SimulationScreen
	terminal *Terminal
}

func newHammer(t *rapid.T, m *Model) *hammer {
	screen := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, screen.Init())
	keys := slices.Sorted(maps.Keys(m.keys))
	return &hammer{t: t, m: m, keys: append(keys, "X", "5", "é", "Delete"), screen: screen, terminal: &Terminal{tcell: screen, colour: true}}
}

func (h *hammer) input() {
	h.now += rapid.SampledFrom([]time.Duration{0, time.Millisecond, 100 * time.Millisecond, time.Second}).Draw(h.t, "time")
	switch rapid.SampledFrom([]string{"key", "key", "key", "mouse", "wheel", "midi", "resize", "let go"}).Draw(h.t, "input") {
	case "key":
		h.m.Key(h.now, rapid.SampledFrom(h.keys).Draw(h.t, "key"))
	case "mouse":
		h.m.Point(h.now, Mouse{X: rapid.IntRange(-1, h.m.w).Draw(h.t, "x"), Y: rapid.IntRange(-1, h.m.h).Draw(h.t, "y"), Down: rapid.Bool().Draw(h.t, "down"), Look: rapid.Bool().Draw(h.t, "look")})
	case "wheel":
		h.m.Point(h.now, Mouse{X: rapid.IntRange(0, h.m.w).Draw(h.t, "x"), Y: rapid.IntRange(0, h.m.h).Draw(h.t, "y"), Wheel: rapid.SampledFrom([]int{-1, 1}).Draw(h.t, "wheel")})
	case "midi":
		status, key := rapid.SampledFrom([]byte{0x90, 0x80, 0x9F, 0xB0}).Draw(h.t, "status"), rapid.IntRange(0, 127).Draw(h.t, "key")
		message := midiio.Message{Status: status, A: byte(key), B: byte(rapid.IntRange(0, 127).Draw(h.t, "value"))}
		h.m.Hear(h.now, midiio.Taken{Messages: []midiio.Timed{{At: h.now, Message: message}}})
	case "resize":
		size := rapid.SampledFrom([][2]int{{80, 24}, {80, 25}, {80, 30}, {121, 25}, {160, 50}, {79, 24}, {1, 1}}).Draw(h.t, "size")
		h.m.Resize(size[0], size[1])
	case "let go":
		h.letGo()
	}
	h.m.Messages()
	if state, version, asked := h.m.WiresAsked(); asked {
		h.m.WiresDo(version, h.m.options.Relay.Does(state))
	}
	for _, w := range h.m.Wants() {
		if w.Kind == WantText {
			h.m.Written(w.Path, nil)
		}
	}
}

// letGo lets all keys go and waits for pulses that have begun.
func (h *hammer) letGo() {
	h.m.LetGo()
	for due, ok := h.m.console.Next(); ok; due, ok = h.m.console.Next() {
		h.m.console.Do(due, console.Event{Kind: console.TickEvent})
		h.m.version++
	}
	require.Zero(h.t, h.m.console.Machine().Sounding().OpenCount())
}

// looks compares the terminal with a drawing of the model that knows nothing
// of what was drawn or worked out before.
func (h *hammer) looks() {
	if w, ht := h.screen.Size(); w != h.m.w || ht != h.m.h {
		h.screen.SetSize(h.m.w, h.m.h)
	}
	drawn := NewGrid(h.m.w, h.m.h)
	Draw(h.m, drawn)
	h.terminal.show(drawn, h.m.light)

	fresh := *h.m
	fresh.list, fresh.listed = listing{}, lined{}
	fresh.layout = NewLayout(fresh.in, fresh.signs, fresh.window.w, fresh.window.h)
	if fresh.demo != nil {
		demo := *fresh.demo
		demo.fresh, fresh.demo = false, &demo
	}
	want := NewGrid(h.m.w, h.m.h)
	Draw(&fresh, want)
	cells, w, _ := h.screen.GetContents()
	for i, c := range want.Cells {
		shown := cells[i/want.W*w+i%want.W]
		_, _, attributes := shown.Style.Decompose()
		if c.Text != "" && (string(shown.Runes) != c.Text || attributes&tcell.AttrReverse != 0 != c.Cursor) {
			require.Equal(h.t, want.String(), drawn.String())
			require.Equal(h.t, c.Text, string(shown.Runes), "column %d, row %d", i%want.W, i/want.W)
			require.Equal(h.t, c.Cursor, attributes&tcell.AttrReverse != 0, "column %d, row %d", i%want.W, i/want.W)
		}
	}
}
