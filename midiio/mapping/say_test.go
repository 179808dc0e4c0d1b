package mapping

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// Messages are the MIDI 1.0 specification's: a note on of velocity 0 is a note
// off, 64 is the velocity of a sender without sensors, 99 and 98 choose a
// non-registered parameter and 6 is its data, the high seven bits of a
// controller come first and the low ones under a number 32 above.
func TestWhatTheConsolesEndSays(t *testing.T) {
	key := func(note console.Note, contacts int) func(*End) []midiio.Message {
		return func(e *End) []midiio.Message {
			return e.Did(nil, time.Second, "", console.KeyMoved(console.Key{Note: note}, contacts, ""))
		}
	}
	effect := func(kind console.EffectKind, index, value int) func(*End) []midiio.Message {
		return func(e *End) []midiio.Message {
			return e.Say(nil, console.Effect{Kind: kind, Index: index, Value: value})
		}
	}
	did := func(event console.Event) func(*End) []midiio.Message {
		return func(e *End) []midiio.Message { return e.Did(nil, time.Second, "", event) }
	}
	for name, c := range map[string]struct {
		does []func(*End) []midiio.Message
		want string
	}{
		"a key":                        {[]func(*End) []midiio.Message{key(36, 1), key(36, 0)}, "note-on 1 36 64\nnote-on 1 36 0"},
		"a key to its second contact":  {[]func(*End) []midiio.Message{key(36, 2), key(36, 0)}, "note-on 1 36 64\nnote-on 2 36 64\nnote-on 2 36 0\nnote-on 1 36 0"},
		"a stop":                       {[]func(*End) []midiio.Message{effect(console.ControlEffect, 1, 1), effect(console.ControlEffect, 1, 0)}, "note-on 10 37 64\nnote-on 10 37 0"},
		"a controller":                 {[]func(*End) []midiio.Message{effect(console.ControlEffect, 4, 1), effect(console.ControlEffect, 4, 0)}, "control-change 10 80 127\ncontrol-change 10 80 0"},
		"a press, of a note that ends": {[]func(*End) []midiio.Message{effect(console.ControlEffect, 5, 1)}, "note-on 11 1 64\nnote-on 11 1 0"},
		"on and off apart":             {[]func(*End) []midiio.Message{effect(console.ControlEffect, 6, 1), effect(console.ControlEffect, 6, 0)}, "program-change 10 1\nprogram-change 10 2"},
		"a non-registered parameter":   {[]func(*End) []midiio.Message{effect(console.ControlEffect, 7, 1)}, "control-change 10 99 2\ncontrol-change 10 98 44\ncontrol-change 10 6 127"},
		"what it has said already":     {[]func(*End) []midiio.Message{effect(console.ControlEffect, 1, 1), effect(console.ControlEffect, 1, 1)}, "note-on 10 37 64"},
		"a button":                     {[]func(*End) []midiio.Message{did(console.Press(3)), did(console.Release(3))}, "note-on 12 5 64\nnote-on 12 5 0"},
		"a button of a program":        {[]func(*End) []midiio.Message{did(console.Press(0)), did(console.Release(0))}, "program-change 11 0"},
		"a shoe of fourteen bits":      {[]func(*End) []midiio.Message{did(console.MoveShoe(0, 64<<7|5))}, "control-change 1 4 64\ncontrol-change 1 36 5"},
		"a stage":                      {[]func(*End) []midiio.Message{effect(console.StageEffect, 0, 2)}, "control-change 4 16 2"},
		"nothing of lamps and coils":   {[]func(*End) []midiio.Message{effect(console.LampEffect, 0, 1), effect(console.CoilEffect, 1, 1), effect(console.LightEffect, 2, 1)}, ""},
		"nothing that has no message":  {[]func(*End) []midiio.Message{effect(console.ValveEffect, 0, 2), did(console.Press(1)), did(console.MoveShoe(1, 99))}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			_, m := load(t, knobs)
			end := m.End(AtConsole, "far")
			var said []midiio.Message
			for _, does := range c.does {
				said = append(said, does(end)...)
			}
			require.Equal(t, messages(t, c.want), said)
		})
	}
}

// The organ's end moves knobs by their coils as often as they are pulsed, and
// lights lamps; the console knows its own contacts.
func TestWhatTheOrgansEndSays(t *testing.T) {
	_, m := load(t, knobs)
	end := m.End(AtOrgan, "far")
	var said []midiio.Message
	for _, f := range []console.Effect{
		{Kind: console.CoilEffect, Index: 0, Value: 1}, {Kind: console.CoilEffect, Index: 0, Value: 1},
		{Kind: console.ControlEffect, Index: 0, Value: 1},
		{Kind: console.LightEffect, Index: 2, Value: 1},
		{Kind: console.LampEffect, Index: 3, Value: 1},
		{Kind: console.ControlEffect, Index: 3, Value: 1}, // only the player moves it
	} {
		said = end.Say(said, f)
	}
	require.Equal(t, messages(t, "note-on 10 36 64\nnote-on 10 36 64\nnote-on 10 38 64\nnote-on 12 5 64"), said)
	require.Empty(t, end.Did(nil, 0, "desk", console.Press(3)))
	require.Empty(t, end.Did(nil, 0, "desk", console.KeyMoved(console.Key{Note: 36}, 1, "desk")))
}

// A key that two hold is on until both let go; what the other end holds it is
// not told.
func TestAKeyIsHeldUntilAllLetGo(t *testing.T) {
	_, m := load(t, knobs)
	end := m.End(AtConsole, "far")
	var said []midiio.Message
	for _, e := range []struct {
		source   string
		contacts int
	}{{"far", 1}, {"a", 1}, {"b", 1}, {"a", 0}, {"far", 0}, {"b", 0}} {
		said = end.Did(said, 0, "", console.KeyMoved(console.Key{Note: 40}, e.contacts, e.source))
	}
	require.Equal(t, messages(t, "note-on 1 40 64\nnote-on 1 40 0"), said)
}

func TestMessagesInTheWordsOfTheConsole(t *testing.T) {
	_, m := load(t, knobs)
	end := m.End(AtOrgan, "far")
	for _, c := range []struct{ message, words string }{
		{"note-on 1 60 9", "great C4 on"},
		{"note-off 1 60 64", "great C4 off"},
		{"note-on 2 60 9", "great C4 second contact on"},
		{"note-on 10 37 64", "flute-8 on"},
		{"control-change 10 80 0", "choir-to-great off"},
		{"note-on 11 1 1", "choir-off turned over"},
		{"note-on 11 1 0", "choir-off let go of"},
		{"program-change 10 2", "reeds off"},
		{"control-change 10 99 2", ""},
		{"control-change 10 98 44", ""},
		{"control-change 10 6 127", "tremulant on"},
		{"program-change 11 0", "general-1 pressed"},
		{"control-change 1 4 64", "swell at 8192 of 16383"},
		{"control-change 1 36 1", "swell at 8193 of 16383"},
		{"control-change 4 16 2", "crescendo stage 2"},
		{"control-change 1 123 0", ""},
		{"note-on 16 1 1", ""},
	} {
		message := messages(t, c.message)[0]
		end.Hear(midiio.Timed{Message: message})
		require.Equal(t, c.words, end.Words(message), c.message)
	}
}
