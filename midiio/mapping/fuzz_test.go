package mapping

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
)

// Whatever a section says, it has a meaning, which is the same once it is
// written and read again, or findings of the file that say why not.
func FuzzLoad(f *testing.F) {
	f.Add(knobs)
	f.Add("  lines: {choir: {channel: 4, way: both}}\n  valves: {flute: channel 5, trumpet: {channel: 6, way: to-console}}\n  baud: none\n  slow: {chord: never, sweep: 1s}\n")
	f.Add("  valves: {all: nrpns from 16300 on channel 4, flute: {message: nrpns from 300 on channel 2, way: to-console}}\n")
	f.Add("  shoes: {swell: {message: nrpn 1000 on channel 9, fine: true, hysteresis: 0, every: 1ms}, crescendo: bytes F0 7D .. 01 F7}\n")
	f.Add("  controls:\n    stops: {on: bytes BA 50 nn from 1/3, off: bytes BA 51 nn from 1/3}\n    reeds..tremulant: bytes F0 7D nn .. F7 from 2\n")
	f.Add("  controls: {stops of choir: {press: notes from C2/2 on channel 11, lamp-on: programs from 0 on channel 1, lamp-off: programs from 64 on channel 1}}\n")
	f.Fuzz(func(t *testing.T, section string) {
		in, _ := console.Parse("organ.yaml", []byte(organ+"midi:\n"+section))
		if in == nil {
			return // it is no YAML, or gives names of the instrument twice
		}
		m, found := Load(in)
		for _, f := range found {
			require.NotContains(t, f.Message+f.Fix, "\n")
			require.NotZero(t, f.Line+len(f.File))
		}
		if m == nil {
			require.True(t, finding.Broken(found))
			return
		}
		m.Table()
		m.Slow()
		if m.Default || m.Text() == "" {
			return
		}
		again, found := console.Parse("organ.yaml", []byte(organ+"midi:\n"+m.Text()))
		require.NotNil(t, again, "%v\n%s", found, m.Text())
		read, found := Load(again)
		require.NotNil(t, read, "%v\n%s", found, m.Text())
		require.Equal(t, forms(m), forms(read), m.Text())
	})
}

// Whatever bytes come, at either end of any of some maps, their events are of
// the instrument, and when the other end is gone it holds no key.
func FuzzHear(f *testing.F) {
	sections := []string{"", knobs,
		"  keys: {great: {channel: 1, second: 1}}\n  shoes: {swell: bytes F0 7D 01 .. F7}\n  controls: {all: nrpns from 0 on channel 1}\n  buttons: {general-1..set: bytes F0 7D nn .. F7 from 2}\n",
		"  keys: {choir: {channel: 1, way: both}}\n  lines: {choir: channel 2}\n  valves: {flute: {channel: 3, way: both}, trumpet: nrpns from 0 on channel 4}\n  shoes: {swell: {message: nrpn 5 on channel 1, fine: true}}\n  controls: {stops: {press: notes from 0 on channel 4, lamp: controllers from 0 on channel 4}}\n",
	}
	var maps []*Map
	for _, section := range sections {
		m, _ := Load(parse(f, section)) // they may collide
		maps = append(maps, m)
	}
	f.Add([]byte{0x90, 36, 1, 37, 0, 0xB0, 4, 64, 36, 1, 123, 0, 0xF0, 0x7D, 1, 5, 0xF7}, uint8(0))
	f.Add([]byte{0xB9, 99, 2, 98, 44, 6, 127, 0xC9, 1, 0xFF, 0x99, 36, 1}, uint8(2))
	f.Fuzz(func(t *testing.T, bytes []byte, which uint8) {
		m := maps[int(which/2)%len(maps)]
		end := m.End(Side(which%2), "far")
		machine := console.NewMachine(m.in)
		var tokenizer midiio.Tokenizer
		at := time.Second
		do := func(events []console.Event) {
			for _, e := range append([]console.Event(nil), events...) {
				require.Empty(t, end.Did(nil, at, "far", e))
				for _, effect := range machine.Do(nil, at, e) {
					require.False(t, effect.Kind == console.RefusedEffect && !mayRefuse(e), effect.Text)
					end.Say(nil, effect)
				}
			}
		}
		tokenizer.Feed(bytes, func(message midiio.Message) {
			heard := end.Hear(midiio.Timed{At: at, Message: message})
			if words := end.Words(message); words != "" {
				require.True(t, heard.Known)
			}
			require.True(t, heard.Known || len(heard.Signals)+len(heard.Events) == 0)
			do(heard.Events)
			at += time.Millisecond
		})
		do(end.Disconnect())
		for k, keyboard := range m.in.Keyboards {
			for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
				require.False(t, machine.Held(console.Key{Keyboard: k, Note: n}))
			}
		}
	})
}

// mayRefuse reports an event that a machine alone refuses: a stage that the
// crescendo has not, and a button.
func mayRefuse(e console.Event) bool {
	return e.Kind == console.StageEvent || e.Kind == console.PressEvent || e.Kind == console.ReleaseEvent
}
