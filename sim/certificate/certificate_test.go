package certificate

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// In any state the gates of the instrument say what console/plain says, and
// those of the relay what running it says.
func TestGatesAgreeWithTheDefinitions(t *testing.T) {
	open, states := 0, 0
	for seed := range uint64(200) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		if seed%2 == 1 {
			relay = gen.AnyFault(seed, relay, in).Relay
		}
		c, err := New(in, relay)
		require.NoError(t, err, "seed %d", seed)
		random := rand.New(rand.NewPCG(seed, 3))
		for range 30 {
			s := anyState(random, in)
			value := c.circuit.values(c.inputs.on(in, s))
			want, got := plain.Open(in, s), wiring.Run(relay, in, s).Open
			for v := range want {
				require.Equal(t, want[v], holds(value, c.wanted[v]), "seed %d, %+v, valve %d should", seed, s, v)
				require.Equal(t, got[v], holds(value, c.opened[v]), "seed %d, %+v, valve %d does", seed, s, v)
				if want[v] {
					open++
				}
			}
			states++
		}
	}
	require.Greater(t, open, states, "hardly anything sounded")
}

// So they say of minute instruments, with rows that no rule has
// kept in order; rows that pick from their own outcome are refused.
func TestGatesAgreeOnWildRows(t *testing.T) {
	refused, differ := 0, 0
	for seed := range uint64(400) {
		in := gen.Minute(seed)
		relay := gen.Wild(seed, in)
		c, err := New(in, relay)
		require.Equal(t, len(wiring.OwnOutcome(relay.Switch)) > 0, err != nil, "seed %d: %v", seed, err)
		if err != nil {
			refused++
			continue
		}
		random := rand.New(rand.NewPCG(seed, 3))
		for range 100 {
			s := anyState(random, in)
			want, got := plain.Open(in, s), wiring.Run(relay, in, s).Open
			var differing []int
			for v := range want {
				if want[v] != got[v] {
					differing = append(differing, v)
				}
			}
			require.Equal(t, differing, c.Differing(s), "seed %d, %+v", seed, s)
			differ += len(differing)
		}
	}
	require.Positive(t, refused)
	require.Greater(t, differ, 1000)
}

func anyState(r *rand.Rand, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if r.IntN(3) == 0 {
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && r.IntN(2) == 0})
			}
		}
	}
	for c := range s.Drawn {
		s.Drawn[c] = r.IntN(2) == 0
	}
	return s
}
