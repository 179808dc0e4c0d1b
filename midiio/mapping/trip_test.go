package mapping

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// sections draws maps of organ in which nothing collides.
func sections() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		pick := func(what string, of ...string) string { return rapid.SampledFrom(of).Draw(t, what) }
		text := "  keys:\n    great: {channel: 1, second: 2}\n    choir: " + pick("choir", "channel 3", "{channel: 3, lowest: 0}", "{channel: 3, lowest: C3, way: both}") + "\n"
		text += pick("lines", "", "  lines: {choir: channel 4}\n", "  lines: {choir: {channel: 4, way: both}}\n")
		text += pick("valves", "", "  valves: {flute: channel 5, trumpet: {channel: 6, first: 9, way: both}}\n",
			"  valves: {trumpet: nrpns from 16300 on channel 12, principal: {channel: 5, way: to-console}}\n", "  valves: {all: nrpns from 16200 on channel 6, flute: channel 5}\n", "  valves: {all: {channel: 5, first: 100, way: both}}\n")
		text += "  shoes:\n    swell: " + pick("swell", "controller 11 on channel 9", "{message: controller 4 on channel 9, fine: true}", "{message: nrpn 1000 on channel 9, fine: true, hysteresis: 0}", "bytes F0 7D 01 .. F7", "{message: nrpn 7 on channel 9, every: 1ms}") + "\n"
		text += pick("crescendo", "", "  crescendo: controller 16 on channel 9\n", "  crescendo: nrpn 5 on channel 10\n")
		text += "  controls:\n"
		text += "    " + pick("stops", "stops", "principal-8..trumpet-8") + ": " + pick("how",
			"notes from 36 on channel 11", "notes from 0/3 on channel 11", "controllers from 20/2 on channel 11", "nrpns from 300 on channel 11", "bytes F0 7D 02 nn .. F7 from 4", "bytes BA nn .. from 3",
			"{on: notes from 0/2 on channel 11, off: notes from 1/2 on channel 11}", "{on: programs from 0 on channel 11, off: programs from 64 on channel 11}",
			"{on: bytes BA 50 nn from 1, off: bytes BA 51 nn from 1}", "{message: notes from 36 on channel 11, lamp: notes from 80 on channel 11}", "{press: notes from 36 on channel 11}", "{press: notes from 36 on channel 11, lamp: controllers from 36 on channel 11}") + "\n"
		text += "    couplers: " + pick("couplers", "notes from 36 on channel 12", "controllers from 36 on channel 12") + "\n"
		text += "    tremulant: " + pick("tremulant", "note 1 on channel 12", "{on: program 1 on channel 12, off: note 1 on channel 12}", "nrpn 12345 on channel 12") + "\n"
		text += "  buttons:\n    general-1..set: " + pick("buttons", "notes from 0 on channel 16", "controllers from 0 on channel 16", "bytes F0 7D 03 nn .. F7 from 0") + "\n"
		text += "    toe studs: " + pick("toes", "programs from 0 on channel 16", "notes from 100 on channel 16") + "\n"
		return text
	})
}

// What one end says, the other hears, for every event and effect that has
// messages: the same key, knob, button, stage, and of a shoe the same stage of
// seven or fourteen bits. What it heard it does not say back.
func TestWhatIsSaidIsHeard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		section := sections().Draw(t, "section")
		_, m := load(t, section)
		here, there := m.End(AtConsole, "there"), m.End(AtOrgan, "here")
		relay, listener := m.End(AtOrgan, "listener"), m.End(AtConsole, "relay")
		at := time.Duration(0)
		for range rapid.IntRange(1, 30).Draw(t, "steps") {
			at += time.Second // no shoe has to wait
			entry := drawEntry(t, m)
			value := rapid.IntRange(0, 1).Draw(t, "value")
			if entry.Kind == Shoe {
				value = rapid.IntRange(0, console.ShoeMost).Draw(t, "position")
			}
			if !entry.Has(ToOrgan) {
				said := say(relay, at, entry, value)
				for _, message := range said {
					listener.Hear(midiio.Timed{At: at, Message: message})
				}
				if len(said) > 0 {
					require.Equal(t, []Signal{{entry.Thing, value}}, listener.heard.Signals)
				}
				continue
			}
			said := say(here, at, entry, value)
			var heard []Signal
			var events []console.Event
			for _, message := range said {
				h := there.Hear(midiio.Timed{At: at, Message: message})
				require.True(t, h.Known, message)
				heard, events = append(heard, h.Signals...), append(events, h.Events...)
				for _, e := range h.Events {
					require.Empty(t, there.Did(nil, at, "here", e), "said back")
				}
			}
			if len(said) == 0 {
				continue // it was so already, or has nothing to say
			}
			if entry.forms[ToOrgan].manner == press {
				require.Equal(t, []console.Event{{Kind: console.TouchEvent, Index: entry.Index}}, events)
				continue
			}
			require.NotEmpty(t, heard, "%v", said)
			if entry.Kind == Key || entry.Kind == Second {
				k := console.Key{Keyboard: entry.Index, Note: entry.Note}
				require.Equal(t, contacts(entry, value), there.held[k].count())
				continue
			}
			last := heard[len(heard)-1]
			require.Equal(t, entry.Thing, last.Thing)
			want := value
			if entry.Kind == Shoe && !entry.forms[ToOrgan].fine {
				want &^= 0x7F
			}
			if entry.Kind == Button && entry.forms[ToOrgan].manner == strike {
				want = 0 // pressed, and let go of at once
			}
			require.Equal(t, want, last.Value)
		}
	})
}

// drawEntry draws an entry, of every kind as often.
func drawEntry(t *rapid.T, m *Map) Entry {
	byKind := map[Kind][]Entry{}
	var kinds []Kind
	for _, e := range m.Entries {
		if byKind[e.Kind] == nil {
			kinds = append(kinds, e.Kind)
		}
		byKind[e.Kind] = append(byKind[e.Kind], e)
	}
	return rapid.SampledFrom(byKind[rapid.SampledFrom(kinds).Draw(t, "kind")]).Draw(t, "entry")
}

// say has an end say that a thing of the console stands so.
func say(e *End, at time.Duration, entry Entry, value int) []midiio.Message {
	switch entry.Kind {
	case Key, Second:
		return e.Did(nil, at, "", console.KeyMoved(console.Key{Keyboard: entry.Index, Note: entry.Note}, contacts(entry, value), ""))
	case Line:
		return e.Tell(nil, Signal{entry.Thing, value})
	case Valve:
		return e.Say(nil, console.Effect{Kind: console.ValveEffect, Index: entry.Index, Value: 2 * value})
	case Control:
		return e.Say(nil, console.Effect{Kind: console.ControlEffect, Index: entry.Index, Value: value})
	case Button:
		event := console.Release(entry.Index)
		if value == 1 {
			event = console.Press(entry.Index)
		}
		return e.Did(nil, at, "", event)
	case Shoe:
		return e.Did(nil, at, "", console.MoveShoe(entry.Index, value))
	case Stage:
		return e.Say(nil, console.Effect{Kind: console.StageEffect, Value: value})
	}
	panic(fmt.Sprint("no such thing ", entry.Kind))
}

// contacts is how many a key makes when the one of an entry is made or not.
func contacts(entry Entry, value int) int {
	if entry.Kind == Second {
		return 2 * value
	}
	return value
}
