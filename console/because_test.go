package console_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
)

// stateOf draws a state in which about half is on.
func stateOf(t *rapid.T, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls)), Transpose: rapid.IntRange(-3, 3).Draw(t, "semitones")}
	for c := range s.Drawn {
		s.Drawn[c] = rapid.Bool().Draw(t, "on")
	}
	held := map[console.Key]bool{}
	for range rapid.IntRange(1, 6).Draw(t, "keys") {
		m := rapid.IntRange(0, len(in.Keyboards)-1).Draw(t, "keyboard")
		keys := in.Keyboards[m].Keys
		key := console.Key{Keyboard: m, Note: console.Note(rapid.IntRange(int(keys.From), int(keys.To)).Draw(t, "key"))}
		if !held[key] {
			held[key] = true
			s.Held = append(s.Held, console.Held{Key: key, Deep: rapid.Bool().Draw(t, "deep")})
		}
	}
	return s
}

func TestEveryOpenValveHasAPathAndNoOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := spiced(t, gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), gen.Tiny))
		s := stateOf(t, in)
		sounding := console.NewSounding(in)
		sounding.Set(s)
		for v, open := range plain.Open(in, s) {
			paths, total := sounding.Because(v)
			require.Equal(t, total, sounding.PathCount(v))
			require.Equal(t, open, total > 0, "valve %d", v)
			require.Len(t, paths, min(total, 16))
		}
	})
}

// Without couplers that pick, the minimal paths of a key to a stop are the
// smallest sets of couplers with which that key alone opens the valve by that
// stop alone: console/plain is asked about every set.
func TestPathsAreTheSmallestSetsOfCouplersThatOpenTheValve(t *testing.T) {
	size, most := gen.Tiny, 0
	size.Couplers, size.CarriesAll = gen.Between{Low: 5, High: 7}, gen.Between{Low: 1, High: 3}
	rapid.Check(t, func(t *rapid.T) {
		in := spiced(t, gen.Instrument(rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), size))
		for i := range in.Couplers {
			in.Couplers[i].Picks = console.PicksAll
		}
		s := stateOf(t, in)
		var on []int // couplers
		for i, c := range in.Couplers {
			if s.Drawn[c.Control] && len(on) < 6 {
				on = append(on, i)
			} else {
				s.Drawn[c.Control] = false
			}
		}

		want := make([][]console.Path, in.Valves)
		for _, held := range s.Held {
			for stop := range in.Stops {
				if s.Drawn[in.Stops[stop].Control] {
					smallestSets(in, s, held, stop, on, want)
				}
			}
		}
		sounding := console.NewSounding(in)
		sounding.Set(s)
		for v := range want {
			paths, total := sounding.Because(v)
			require.Equal(t, len(want[v]), total, "valve %d", v)
			if total > len(paths) {
				continue
			}
			var got []console.Path
			for _, p := range paths {
				p.Couplers = slices.Compact(slices.Sorted(slices.Values(p.Couplers)))
				got = append(got, p)
			}
			require.ElementsMatch(t, want[v], got, "valve %d", v)
			most = max(most, total)
		}
	})
	require.Greater(t, most, 1, "paths to one valve, where there were most")
}

// smallestSets adds to every valve that held alone opens by stop alone the
// smallest sets of the couplers on with which it does.
func smallestSets(in *console.Instrument, s console.State, held console.Held, stop int, on []int, want [][]console.Path) {
	alone := console.State{Held: []console.Held{held}, Drawn: slices.Clone(s.Drawn), Transpose: s.Transpose}
	for i, other := range in.Stops {
		alone.Drawn[other.Control] = i == stop
	}
	opens := make([][]bool, 1<<len(on))
	for set := range opens {
		for i, c := range on {
			alone.Drawn[in.Couplers[c].Control] = set>>i&1 == 1
		}
		opens[set] = plain.Open(in, alone)
	}
	for v := range want {
		for set := range opens {
			smallest := opens[set][v]
			var couplers []int
			for i, c := range on {
				if set>>i&1 == 1 {
					couplers = append(couplers, c)
					smallest = smallest && !opens[set&^(1<<i)][v]
				}
			}
			if smallest {
				want[v] = append(want[v], console.Path{Key: held.Key, Couplers: couplers, Stop: stop})
			}
		}
	}
}

// Twenty couplers that move each other's keys, all on, make more ways than
// anyone counts; that is said, and every open valve still has a path.
func TestPathsThatRunInCirclesAreCutAndSaidToBe(t *testing.T) {
	size := gen.Large.WithCycle()
	size.CarriesAll = gen.Between{Low: 20, High: 20}
	in := gen.Instrument(2, size)
	s := everyKey(in)
	for _, u := range in.UnisonOffs {
		s.Drawn[u.Control] = false
	}
	s.Held = s.Held[20:21]
	sounding := console.NewSounding(in)
	sounding.Set(s)
	require.True(t, sounding.PathsCut())
	for v := range in.Valves {
		_, total := sounding.Because(v)
		require.Equal(t, sounding.Open(v), total > 0, "valve %d", v)
	}

	for i, c := range in.Couplers {
		s.Drawn[c.Control] = i%2 == 0 && c.Carries != console.CarriesAll
	}
	sounding.Set(s)
	require.False(t, sounding.PathsCut())
}
