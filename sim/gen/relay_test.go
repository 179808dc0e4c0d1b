package gen

import (
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

func TestRelayFilesReadBackAsTheDesign(t *testing.T) {
	for name, size := range map[string]Size{"tiny": Tiny, "small": Small, "large": Large} {
		seeds := uint64(24)
		if name == "large" {
			seeds = 2
		}
		for seed := range seeds {
			in, opt := Instrument(seed, size), AnyOptions(seed)
			dir := t.TempDir()
			require.NoError(t, Relay(seed, in, opt).Write(dir))

			loaded, found := console.Load(filepath.Join(dir, InstrumentFile))
			require.NotNil(t, loaded, "%v", found)
			got, found := wiring.Load(filepath.Join(dir, RelayFile), loaded)
			require.NotNil(t, got, "%s %d: %v", name, seed, found)

			want := Design(seed, in, opt)
			got.File, got.Instrument = want.File, ""
			for _, r := range []*wiring.Relay{got, want} {
				bare(reflect.ValueOf(r).Elem())
				r.Forms = nil
				for i := range r.Boards {
					r.Boards[i].Node = nil
				}
				for i := range r.Cables {
					r.Cables[i].Node = nil
				}
			}
			require.Equal(t, want, got, "%s %d", name, seed)
		}
	}
}

func TestSameSeedMakesTheSameRelay(t *testing.T) {
	in := Instrument(3, Small)
	require.Equal(t, Relay(5, in, AnyOptions(5)), Relay(5, in, AnyOptions(5)))
	require.NotEqual(t, Relay(5, in, AnyOptions(5)), Relay(6, in, AnyOptions(5)))
}

// Every generated relay opens, in states chosen at random, the valves that
// should be open by the definition of what sounds.
func TestGeneratedRelaysPlayTheirInstruments(t *testing.T) {
	for seed := range uint64(150) {
		in := Instrument(seed, Tiny)
		relay := Design(seed, in, AnyOptions(seed))
		r := rand.New(rand.NewPCG(seed, 9))
		for range 10 {
			s := anyState(r, in)
			require.Equal(t, plain.Open(in, s), wiring.Run(relay, in, s).Open, "seed %d, state %+v", seed, s)
		}
	}
}

func anyState(r *rand.Rand, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if r.IntN(keyboard.Keys.Len()) < 2 {
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: r.IntN(2) == 0})
			}
		}
	}
	for c := range s.Drawn {
		s.Drawn[c] = r.IntN(2) == 0
	}
	return s
}

// The rules of relays find nothing in a generated one that is an error.
func TestGeneratedRelaysPassTheRules(t *testing.T) {
	for name, size := range map[string]Size{"tiny": Tiny, "small": Small, "large": Large} {
		seeds := uint64(40)
		if name == "large" {
			seeds = 2
		}
		for seed := range seeds {
			in := Instrument(seed, size)
			for _, f := range wiring.Check(Design(seed, in, AnyOptions(seed)), in) {
				require.NotEqual(t, finding.Error, f.Severity, "%s %d: %s: %s", name, seed, f.Rule, f.Message)
			}
		}
	}
}
