package circuit

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// By hand: coils of 24 ohms at 12 V, n of them on a return of 1 ohm, are left
// 12 V x (24/n) / (24/n + 1): 10.29 V when four knobs move at once, 11.08 V
// when they move two at a time. The coil that draws a knob and the one that
// cancels it are never on together.
func TestCoilsOfKnobsShareAReturnWhileTheyMove(t *testing.T) {
	for name, c := range map[string]struct {
		how    Settings
		pullIn float64
		left   float64
		low    []string
	}{
		"four at once":                   {Settings{}, 10, 10.286, []string{}},
		"four at once, and that is less": {Settings{}, 10.5, 10.286, []string{"error pull-in-low"}},
		"two at a time":                  {Settings{Group: 2, Gap: 300}, 10.5, 11.077, []string{}},
		"two at a time, which overlap":   {Settings{Group: 2, Gap: 100}, 10.5, 10.286, []string{"error pull-in-low"}},
	} {
		t.Run(name, func(t *testing.T) {
			c.how.WiresAt, c.how.Drop, c.how.Code = 20, 1, "none"
			s := knobs(4, c.how)
			s.c.Magnets[0].PullIn = c.pullIn
			s.c.Returns = []Return{{Wire: Wire{Gauge: Square(copper), Metres: 1, Count: 1}, Into: None, Supply: 0}}
			for i := range s.c.Loads {
				s.c.Loads[i].Return = 0
			}
			rep := s.Report()
			require.Nil(t, rep.Drop) // nothing stays on
			require.InDelta(t, c.left, rep.Moving.Volts, 0.001)
			k := newChecker(s, rep)
			k.volts()
			require.Equal(t, c.low, rules(k.found))
		})
	}
}

// Whatever a player holds and draws, and whether coils are cold or warm, no
// coil is left less than its floor, and its wires lose no more.
func TestNoCoilIsLeftLessThanItsFloor(t *testing.T) {
	seen := 0
	for seed := range uint64(6) {
		s := widelyWired(t, seed, "none")
		rep := s.Report()
		r := rand.New(rand.NewPCG(seed, 5))
		for range 40 {
			scores := make([]float64, len(s.list))
			for k := range scores {
				scores[k] = r.Float64()
			}
			cover, _ := s.cover(nil, s.ways[0])
			var keys []console.Key
			for _, k := range cover.best(scores) {
				if s.list[k].Keyboard < len(s.in.Keyboards) {
					keys = append(keys, s.list[k])
				}
			}
			state := s.State(keys)
			for i := range state.Drawn {
				state.Drawn[i] = state.Drawn[i] != (r.IntN(4) == 0)
			}
			on := s.OnIn(state)
			for _, hot := range []bool{false, true} {
				f := s.c.Flow(on, hot)
				for _, floor := range rep.Floors {
					if !on[floor.Load] {
						continue
					}
					seen++
					require.GreaterOrEqual(t, f.Coil[floor.Load]+1e-6, floor.Volts)
					lost := 0.0
					for _, h := range s.c.Hops(f, floor.Load, s.name) {
						if h.Wire {
							lost += h.Volts
						}
					}
					require.LessOrEqual(t, lost, floor.Lost+1e-4)
				}
			}
		}
	}
	require.Greater(t, seen, 500)
}
