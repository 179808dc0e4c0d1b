package mapping

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// The section that the reference shows is one.
func TestTheReferenceIsASection(t *testing.T) {
	section, _, found := strings.Cut(Reference, "\n\n")
	require.True(t, found)
	in, wrong := console.Parse("organ.yaml", []byte(`format: 1
keyboards: {great: {kind: manual, keys: C2..C7}, choir: {kind: manual, keys: C2..C7, touches: 2}, pedal: {kind: pedal, keys: C2..G4}}
divisions: {great: {keyboard: great, notes: C2..C7, chest: unit}, choir: {keyboard: choir, notes: C2..C7, chest: unit}}
ranks: {bourdon: {division: great, feet: 16, pipes: 73}, flute: {division: great, feet: 8, pipes: 61}}
stops: {great-principal-8: {division: great, feet: 8, rank: bourdon}, great-bourdon-16: {division: great, feet: 16, rank: bourdon}}
couplers: {choir-octave: {division: choir, shift: 12}}
boxes: {a: {stages: 8}, b: {stages: 8}}
shoes: {swell: {drives: [a]}, choir: {drives: [b]}}
crescendo: {stages: [[great-bourdon-16]]}
combination: {buttons: {general-1: {kind: general}, general-2: {kind: general}}}
`+strings.ReplaceAll("\n"+section, "\n  ", "\n")))
	require.NotNil(t, in, "%v", wrong)
	m, wrong := Load(in)
	require.Empty(t, wrong)
	require.False(t, m.Default)
	require.Empty(t, m.Unmapped())
}

// The example of every field of an instrument file has every field of the
// section too.
func TestEveryFieldIsRead(t *testing.T) {
	in, wrong := console.Load("../../console/testdata/everything.yaml")
	require.Empty(t, wrong)
	m, wrong := Load(in)
	require.Empty(t, wrong)
	section := m.Text()
	for _, field := range []string{"keys:", "lines:", "valves:", "shoes:", "crescendo:", "controls:", "buttons:", "slow:", "channel:", "lowest:", "way:", "message:", "fine:", "hysteresis:", "every:", "press:", "lamp:", "on:", "off:", "lamp-on:", "lamp-off:"} {
		require.Contains(t, section, field)
	}
}
