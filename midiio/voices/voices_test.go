package voices

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/sim/gen"
)

func instrument(t *testing.T, text string) *console.Instrument {
	in, found := console.Parse("organ.yaml", []byte("format: 1\nkeyboards: {manual: {kind: manual, keys: C2..C7}}\ndivisions: {manual: {keyboard: manual, chest: unit}}\n"+text))
	require.Empty(t, found)
	return in
}

// pitch is what a synthesizer makes of a note: f = 440 * 2^((n - 69) / 12) (MIDI
// 1.0), bent by a share of two semitones.
func (p *Player) pitch(n note) float64 {
	return 440 * math.Pow(2, (float64(n.key)-69)/12+p.channels[n.channel].cents/1200)
}

func TestEveryPipeSoundsItsOwnPitch(t *testing.T) {
	for name, text := range map[string]string{
		"unisons and a celeste": `ranks: {a: {division: manual, family: string, feet: 8, pipes: 61}, b: {division: manual, family: string, feet: 8, pipes: 49, from: C3, cents: 6}}`,
		"pure mutations":        `ranks: {a: {division: manual, feet: 2 2/3, pipes: 61}, b: {division: manual, feet: 1 3/5, pipes: 61}, c: {division: manual, family: principal, pipes: 25, breaks: {C2: [12, 17, 19, 22]}}}`,
		"another pitch":         "pitch: {a4: 415}\nranks: {a: {division: manual, feet: 8, pipes: 61}}",
	} {
		t.Run(name, func(t *testing.T) {
			in := instrument(t, text)
			p := New(in)
			for r, rank := range in.Ranks {
				for v := 1; v <= rank.Pipes; v++ {
					for i, hz := range in.Hz(r, v) {
						require.InDelta(t, 0, 1200*math.Log2(p.pitch(p.notes[rank.Valve(v)][i])/hz), alike, "%s %d", rank.ID, v)
					}
				}
			}
		})
	}
}

// Twelve different pitches of a temperament, in several families, have more
// than there are channels: they come close.
func TestATemperamentIsPlayedAsWellAsChannelsAllow(t *testing.T) {
	in := instrument(t, `pitch: {a4: 440, temperament: [10, -6, 4, 2, -4, 8, -8, 6, -2, 0, 5, -7]}
ranks: {a: {division: manual, family: principal, feet: 8, pipes: 61}, b: {division: manual, family: flute, feet: 8, pipes: 61}}`)
	p := New(in)
	require.Len(t, p.channels, most)
	for r, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			for i, hz := range in.Hz(r, v) {
				require.InDelta(t, 0, 1200*math.Log2(p.pitch(p.notes[rank.Valve(v)][i])/hz), 2)
			}
		}
	}
}

func TestWhatOpensIsEndedAndNoNoteIsBegunTwice(t *testing.T) {
	for seed := range uint64(10) {
		in := gen.Instrument(seed, gen.Small)
		p := New(in)
		var keys midiio.Keys
		monitor := midiio.Monitor{}
		hear := func(messages []midiio.Message) {
			for _, m := range messages {
				require.Empty(t, monitor.Hear(nil, midiio.Timed{Message: m}))
				keys.Hear(m)
			}
		}
		hear(p.Begin(nil))
		for v := range in.Valves {
			hear(p.Open(nil, v))
		}
		for v := range in.Valves {
			hear(p.Shut(nil, v))
		}
		require.Zero(t, keys.Count())
		require.Empty(t, p.sounding)
	}
}

func TestTheInstrumentChoosesPrograms(t *testing.T) {
	in := instrument(t, "ranks: {a: {division: manual, family: flute, feet: 8, pipes: 61}}\nvoices: {flute: 80}")
	require.Contains(t, New(in).Begin(nil), midiio.Message{Status: 0xC0, A: 79})
}
