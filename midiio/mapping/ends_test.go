package mapping

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// instrument is a console machine at an end of a cable.
type instrument struct {
	machine *console.Machine
	end     *End
	sent    []midiio.Message // on the way to the other
}

func newInstrument(in *console.Instrument, m *Map, side Side) *instrument {
	return &instrument{machine: console.NewMachine(in), end: m.End(side, "cable")}
}

// do does an event of a source at a time, and says what came of it. At the
// organ's end a knob that is drawn has a coil that does it.
func (i *instrument) do(at time.Duration, source string, e console.Event) {
	i.sent = i.end.Tick(i.sent, at)
	i.sent = i.end.Did(i.sent, at, source, e)
	for _, f := range i.machine.Do(nil, at, e) {
		i.sent = i.end.Say(i.sent, f)
		if source != "cable" && i.end.side == AtOrgan && f.Kind == console.ControlEffect && i.machine.Instrument().Controls[f.Index].Style == console.Moving {
			i.sent = i.end.Say(i.sent, console.Effect{Kind: console.CoilEffect, Index: f.Index, Value: f.Value})
		}
	}
}

func (i *instrument) hear(at time.Duration, m midiio.Message) {
	for _, e := range append([]console.Event(nil), i.end.Hear(midiio.Timed{At: at, Message: m}).Events...) {
		i.do(at, "cable", e)
	}
}

// settle carries messages until nobody says anything more, shoes that wait
// included, and returns how many they were.
func settle(t require.TestingT, at time.Duration, a, b *instrument) (carried int) {
	for {
		for len(a.sent)+len(b.sent) > 0 {
			from, to := a, b
			if len(a.sent) == 0 {
				from, to = b, a
			}
			m := from.sent[0]
			from.sent = from.sent[1:]
			to.hear(at, m)
			carried++
			require.Less(t, carried, 10_000, "they never fall silent")
		}
		waits := false
		for _, i := range []*instrument{a, b} {
			if next, due := i.end.Next(); due {
				waits, at = true, max(at, next)
				i.sent = i.end.Tick(i.sent, at)
			}
		}
		if !waits {
			return carried
		}
	}
}

// worked draws something that is done at a console.
func worked(t *rapid.T, in *console.Instrument) console.Event {
	switch rapid.IntRange(0, 4).Draw(t, "what") {
	case 0:
		k := rapid.IntRange(0, len(in.Keyboards)-1).Draw(t, "keyboard")
		n := rapid.IntRange(0, in.Keyboards[k].Keys.Len()-1).Draw(t, "key")
		return console.KeyMoved(console.Key{Keyboard: k, Note: in.Keyboards[k].Keys.From + console.Note(n)}, rapid.IntRange(0, in.Keyboards[k].Touches).Draw(t, "contacts"), "hand")
	case 1:
		return console.MoveShoe(rapid.IntRange(0, len(in.Shoes)-1).Draw(t, "shoe"), rapid.IntRange(0, console.ShoeMost).Draw(t, "position"))
	case 2:
		return console.Push(rapid.IntRange(0, len(in.Controls)-1).Draw(t, "control"))
	}
	return console.Draw(rapid.IntRange(0, len(in.Controls)-1).Draw(t, "control"))
}

// Whatever each end was like before, once they are connected they have the
// console's controls, shoes and stage on both sides, and keys of neither.
func TestEndsThatConnectAgreeOnWhatTheConsoleHas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, m := load(t, sections().Draw(t, "section"))
		here, there := newInstrument(in, m, AtConsole), newInstrument(in, m, AtOrgan)
		for _, i := range []*instrument{here, there} {
			for range rapid.IntRange(0, 20).Draw(t, "worked") {
				if e := worked(t, in); e.Kind != console.KeyEvent && (e.Kind != console.ShoeEvent || !in.Shoes[e.Index].Crescendo) {
					i.machine.Do(nil, 0, e)
				}
			}
			i.sent = i.end.Connect(i.sent, 0, i.machine)
		}
		settle(t, 0, here, there)
		agree(t, m, here, there)
		// From then on each follows the other.
		at := time.Second
		for range rapid.IntRange(0, 20).Draw(t, "later") {
			at += time.Second
			i := rapid.SampledFrom([]*instrument{here, there}).Draw(t, "at")
			e := worked(t, in)
			if e.Kind == console.KeyEvent || e.Kind == console.ShoeEvent && in.Shoes[e.Index].Crescendo {
				continue
			}
			if i == there && e.Kind != console.ShoeEvent && in.Controls[e.Index].Style == console.Fixed {
				continue // nothing moves it but the player at the console
			}
			i.do(at, "hand", e)
			settle(t, at, here, there)
			agree(t, m, here, there)
		}
	})
}

// agree wants what both ends have in the map to stand alike.
func agree(t *rapid.T, m *Map, here, there *instrument) {
	for _, entry := range m.Entries {
		if !entry.Has(ToOrgan) || !entry.Has(ToConsole) {
			continue
		}
		switch {
		case entry.Kind == Control && !entry.told() && m.in.Controls[entry.Index].Style == console.Fixed:
			// A press says nothing of where it stands, and the other end cannot move it.
		case entry.Kind == Control:
			require.Equal(t, here.machine.On(entry.Index), there.machine.On(entry.Index), entry.Name(m.in))
		case entry.Kind == Shoe:
			const step = 128 + defaultHysteresis
			require.InDelta(t, here.machine.Position(entry.Index), there.machine.Position(entry.Index), step, entry.Name(m.in))
		}
	}
}

// However fast both sides are worked, whichever ends they are, and with an end
// that hears itself: nothing goes round and round.
func TestNothingIsSaidOverAndOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, m := load(t, sections().Draw(t, "section"))
		sides := rapid.SampledFrom([][2]Side{{AtConsole, AtOrgan}, {AtConsole, AtConsole}, {AtOrgan, AtOrgan}}).Draw(t, "sides")
		a, b := newInstrument(in, m, sides[0]), newInstrument(in, m, sides[1])
		if rapid.Bool().Draw(t, "hears itself") {
			b = a
		}
		steps := rapid.IntRange(1, 40).Draw(t, "steps")
		for step := range steps {
			at := time.Duration(step) * time.Millisecond
			rapid.SampledFrom([]*instrument{a, b}).Draw(t, "at").do(at, "hand", worked(t, in))
			if len(a.sent) > 0 && rapid.Bool().Draw(t, "one arrives") {
				first := a.sent[0]
				a.sent = a.sent[1:]
				b.hear(at, first)
			}
		}
		require.LessOrEqual(t, settle(t, time.Second, a, b), 40*steps)
	})
}

// What the organ told while the console's own controls were on the way is not
// heeded: 8 controls as notes of a channel are 17 bytes, 5.44 ms, and half a
// second more.
func TestTheConsolesContactsAreTheTruth(t *testing.T) {
	in, m := load(t, "  controls: {all: notes from 0 on channel 1}\n")
	end := m.End(AtConsole, "organ")
	end.Connect(nil, 0, console.NewMachine(in))
	lamp := midiio.NoteOn(1, 2, 64)
	require.Empty(t, end.Hear(midiio.Timed{At: 505_439 * time.Microsecond, Message: lamp}).Events)
	require.Equal(t, []console.Event{console.Draw(2)}, end.Hear(midiio.Timed{At: 505_440 * time.Microsecond, Message: lamp}).Events)
}
