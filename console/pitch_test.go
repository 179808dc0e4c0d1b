package console_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// parsed is the instrument of a text that must have no errors.
func parsed(t *testing.T, text string) *console.Instrument {
	t.Helper()
	in, findings := console.Parse("organ.yaml", []byte(text))
	require.NotNil(t, in, "%v", findings)
	return in
}

// cents is by how much pitch a lies above b.
func cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// ISO 16: A4 is 440 Hz; equal temperament gives the rest.
func TestPitchOfLowestCAtEachFootage(t *testing.T) {
	for feet, hz := range map[string]float64{
		"64": 8.176, "32": 16.352, "16": 32.703, "8": 65.406, "4": 130.813, "2": 261.626, "1": 523.251, "1/2": 1046.502,
	} {
		t.Run(feet+" foot", func(t *testing.T) {
			in := parsed(t, `
format: 1
instrument: One rank
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, notes: C2..C7, chest: unit}}
ranks: {principal: {division: great, family: principal, feet: `+feet+`, pipes: 61}}
stops: {principal: {division: great, feet: `+feet+`, rank: principal}}
`)
			require.InDelta(t, hz, in.Hz(0, 1)[0], 0.0005)
			require.InDelta(t, 32*hz, in.Hz(0, 61)[0], 0.02, "the top C, five octaves up")
		})
	}
}

// Common practice, no source: an independent mutation is tuned pure, the
// same pitch by extension is tempered; and a celeste is sharp.
func TestPitchOfMutationsAndCelestes(t *testing.T) {
	in := parsed(t, `
format: 1
instrument: Fifths
pitch: {a4: 440, temperament: [0, 0, 0, 0, 0, 0, 0, 0, 0, 5, 0, 0]}
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, notes: C2..C7, chest: unit}}
ranks:
  twelfth: {division: great, family: flute, feet: 2 2/3, pipes: 61}
  flute: {division: great, family: flute, feet: 8, pipes: 80}
  celeste: {division: great, family: string, feet: 8, pipes: 61, cents: 6}
stops:
  twelfth: {division: great, feet: 2 2/3, rank: twelfth}
  nazard: {division: great, feet: 2 2/3, rank: flute}
  celeste: {division: great, feet: 8, rank: celeste}
`)
	pure := in.Hz(0, 1)[0]
	require.InDelta(t, 3*65.406, pure, 0.002)
	nazard := in.Stops[1].Takes[0]
	require.Equal(t, 19, nazard.Shift)
	tempered := in.Hz(1, 1+nazard.Shift)[0]
	require.InDelta(t, 1.955, cents(pure, tempered), 0.001, "a pure fifth is 1.955 cents wider")
	require.InDelta(t, 6, cents(in.Hz(2, 1)[0], in.Hz(1, 1)[0]), 0.001)
	require.InDelta(t, 440*1.0028922, in.Hz(1, 34)[0], 0.001, "A4 lies 5 cents sharp in this temperament")
}
