package examples_test

import (
	"math/rand/v2"
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// loadRelay loads a relay whose files have a meaning, and what is wrong with it.
func loadRelay(t *testing.T, file string, in *console.Instrument) (*wiring.Relay, []finding.Finding) {
	relay, findings := wiring.Load(file, in)
	require.NotNil(t, relay, "%v", findings)
	return relay, findings
}

func TestEveryCasePlaysOnItsRelay(t *testing.T) {
	eachCaseFile(t, func(t *testing.T, in *console.Instrument, cases []soundCase) {
		relay, _ := loadRelay(t, path.Join(path.Dir(in.File), "relay.yaml"), in)
		for _, c := range cases {
			t.Run(c.Name, func(t *testing.T) {
				require.ElementsMatch(t, c.Valves, valveNames(in, wiring.Run(relay, in, c.state(t, in)).Open), c.Why)
			})
		}
	})
}

// TestRelaysPlayTheirInstrument runs relay and definition side by side in
// states drawn at random, from a few controls on to nearly all.
func TestRelaysPlayTheirInstrument(t *testing.T) {
	const states = 3000
	for _, example := range []string{"smallest", "floating", "saltmarsh"} {
		t.Run(example, func(t *testing.T) {
			in := loadOrgan(t, example+"/organ.yaml")
			relay, _ := loadRelay(t, example+"/relay.yaml", in)
			random := rand.New(rand.NewPCG(7, 61))
			sounding := 0
			for i := range states {
				s := randomState(random, in)
				want := plain.Open(in, s)
				sounding += min(1, len(valveNames(in, want)))
				require.Equal(t, valveNames(in, want), valveNames(in, wiring.Run(relay, in, s).Open), "state %d: %v", i, s)
			}
			require.Greater(t, sounding, states/2, "states in which something sounds")
		})
	}
}

// randomState holds up to five keys of each keyboard and draws each control
// with one chance for all of them.
func randomState(random *rand.Rand, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	chance := random.Float64()
	for c := range s.Drawn {
		s.Drawn[c] = random.Float64() < chance
	}
	for m, keyboard := range in.Keyboards {
		for range random.IntN(6) {
			note := keyboard.Keys.From + console.Note(random.IntN(keyboard.Keys.Len()))
			s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: m, Note: note}})
		}
	}
	return s
}
