package walk

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/gen"
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
		if s.Phase != Knobs && s.Phase != Lamps {
			require.InEpsilon(t, 8*want/13.5*13.5/12.5, s.Amps.Needs, 0.01, "%s: what pulls in at 8 V, when 12.5 V are left of 13.5 V", s.ID)
		}
		require.Less(t, s.Amps.Hot, s.Amps.Cold, "%s: a warm coil draws less", s.ID)
		require.InDelta(t, pulse, s.Pulse, 0, s.ID)
		met[s.Items[0].Kind] = true
	}
	for _, kind := range []wiring.Kind{wiring.ValveKind, wiring.NoteKind, wiring.ActionKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.LampKind} {
		require.True(t, met[kind], kind)
	}
}

// Magnets that hang on wires alike are worked out once: what is expected of each
// must be what the network as a whole gives in the state of its step.
func TestWhatIsWorkedOutOnceHoldsForEachMagnet(t *testing.T) {
	in := gen.Instrument(2, gen.Small)
	r, c := electrical(t, 2, in)
	search := circuit.NewSearch(c, in, circuit.OnePlayer)
	held := 0
	for _, s := range Plan(in, r, c, Options{}) {
		if s.Amps == nil || s.Phase != Valves && s.Phase != NoteLines {
			continue
		}
		on := make([]bool, len(c.Loads))
		if len(s.Moves) > 0 {
			on = search.OnIn(stateOf(in, s.Moves))
		}
		fuse := circuit.None
		for i, l := range c.Loads {
			if l.Item == s.Items[0] {
				on[i], fuse = true, c.Boards[l.Board].Fuse
			}
		}
		require.InEpsilon(t, c.Flow(on, false).Fuse[fuse], s.Amps.Cold, 1e-9, s.ID)
		require.InEpsilon(t, c.Flow(on, true).Fuse[fuse], s.Amps.Hot, 1e-9, s.ID)
		held++
	}
	require.Positive(t, held)
}
