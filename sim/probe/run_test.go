package probe

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The definition of what a relay does is wiring.Run's: step by step, as it reads.
// A third of the relays is right, one has a mistake, one was made by no rule.
func TestARunningRelayFollowsTheDefinition(t *testing.T) {
	for seed := range uint64(240) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		switch seed % 3 {
		case 1:
			relay = gen.AnyFault(seed, relay, in).Relay
		case 2:
			in = gen.Minute(seed)
			relay = gen.Wild(seed, in)
		}
		x := Compile(relay, in)
		r := rand.New(rand.NewPCG(seed, 9))
		for range 40 {
			s := console.State{Drawn: make([]bool, len(in.Controls))}
			var on []int
			for c := range s.Drawn {
				if s.Drawn[c] = r.IntN(2) == 0; s.Drawn[c] {
					on = append(on, c)
				}
			}
			for k, keyboard := range in.Keyboards {
				for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
					if r.IntN(6) == 0 {
						s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && r.IntN(2) == 0})
					}
				}
			}
			open := x.Run(s.Held, on)
			for v, want := range wiring.Run(relay, in, s).Open {
				require.Equal(t, want, open.Has(v), "seed %d valve %d", seed, v)
			}
		}
	}
}
