package walk

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// Ohm's law, wires apart: 13.5 V, which is 14.5 V less the volt of a driver, draw
// 90 mA through 150 ohms, 225 mA through 60 and 338 mA through 40. The wires take
// less than a tenth of that.
func TestAMagnetIsExpectedToDrawWhatOhmsLawSaysAndToBeOnNoLongerThanItMay(t *testing.T) {
	in, _ := console.Load("../../cmd/trundle/examples/saltmarsh/organ.yaml")
	require.NotNil(t, in)
	r, _ := wiring.Load("../../cmd/trundle/examples/currents/relay.yaml", in)
	require.NotNil(t, r)
	c, _ := circuit.Read(r, in)
	require.NotNil(t, c)
	met := map[wiring.Kind]bool{}
	for _, s := range Plan(in, r, c, Options{Direct: func(wiring.Item) bool { return true }}) {
		if s.Amps == nil {
			continue
		}
		want, pulse := 13.5/150, 0.0
		switch item := s.Items[0]; {
		case item.Kind == wiring.ActionKind || item.Kind == wiring.VentilKind || item.Kind == wiring.ValveKind && in.Ranks[item.Index].ID == "great-principal":
			want = 13.5 / 60
		case item.Kind == wiring.KnobOnKind || item.Kind == wiring.KnobOffKind:
			want, pulse = 13.5/40, 150
		case item.Kind == wiring.LampKind:
			want = 13.5 / 600
		}
		require.InEpsilon(t, want, s.Amps.Cold, 0.1, s.ID)
		require.Less(t, s.Amps.Hot, s.Amps.Cold, "%s: a warm coil draws less", s.ID)
		require.InDelta(t, pulse, s.Pulse, 0, s.ID)
		met[s.Items[0].Kind] = true
	}
	for _, kind := range []wiring.Kind{wiring.ValveKind, wiring.NoteKind, wiring.ActionKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.LampKind} {
		require.True(t, met[kind], kind)
	}
}
