package gen

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// The numbers of the issue: 5 manuals and pedal, 12 divisions, 250 stops,
// 240 ranks, about 17,000 valves, 60 couplers, 12 of them carry all.
func TestLargeHasTheNumbersAsked(t *testing.T) {
	for seed := range uint64(20) {
		in := Instrument(seed, Large)
		require.Len(t, in.Keyboards, 6)
		require.Equal(t, console.Pedal, in.Keyboards[5].Kind)
		require.Len(t, in.Divisions, 12)
		require.Len(t, in.Stops, 250)
		require.Len(t, in.Ranks, 240)
		require.Len(t, in.Couplers, 60)
		require.Equal(t, 12, carryAll(in))
		require.InDelta(t, 17000, in.Valves, 1000, "seed %d", seed)
	}
}

func carryAll(in *console.Instrument) (n int) {
	for _, c := range in.Couplers {
		if c.Carries == console.CarriesAll {
			n++
		}
	}
	return n
}

func TestScaledGrowsWithItsFactor(t *testing.T) {
	for _, factor := range []float64{0.125, 0.25, 0.5, 1, 2, 4, 8} {
		in := Instrument(1, Scaled(factor))
		require.InDelta(t, 12*factor, len(in.Divisions), 0.5)
		require.InDelta(t, 250*factor, len(in.Stops), 0.5)
		require.InDelta(t, 240*factor, len(in.Ranks), 0.5)
		require.InDelta(t, 60*factor, len(in.Couplers), 0.5)
		require.InEpsilon(t, 17000*factor, in.Valves, 0.15)
	}
}

func TestSameSeedMakesTheSame(t *testing.T) {
	for _, size := range []Size{Tiny, Small, Large} {
		require.Equal(t, Instrument(7, size), Instrument(7, size))
		require.NotEqual(t, Instrument(7, size), Instrument(8, size))
	}
}

// A chest with note lines opens a valve only for the valve's own note, so
// what is taken from it must be its own notes, all of them.
func TestChestsWithNoteLinesPlayWhatIsTakenFromThem(t *testing.T) {
	for _, size := range []Size{Tiny, Small} {
		for seed := range uint64(200) {
			in := Instrument(seed, size)
			for _, s := range in.Stops {
				for _, take := range s.Takes {
					rank := in.Ranks[take.Rank]
					notes := in.Divisions[s.Division].Notes.Cut(s.Notes).Cut(take.Notes)
					for _, stand := range rank.Stands {
						chest := in.Chests[stand.Chest]
						if !chest.HasNoteLines() {
							continue
						}
						require.Zero(t, take.Shift)
						require.Equal(t, 1, s.Touch)
						require.Contains(t, chest.Plays, s.Division)
						stood := console.Span{From: rank.Note(stand.From), To: rank.Note(stand.To)}
						require.Equal(t, stood, stood.Cut(notes).Cut(chest.Notes), "%d keys, seed %d, %s", size.ManualKeys, seed, s.ID)
					}
				}
			}
		}
	}
}

func TestIdsAreOneNameSpaceEach(t *testing.T) {
	for _, size := range []Size{Tiny, Small, Large} {
		for seed := range uint64(20) {
			in := Instrument(seed, size)
			seen := map[string]bool{}
			once := func(id string) {
				require.Regexp(t, `^[a-z0-9][a-z0-9-]{0,63}$`, id)
				require.False(t, seen[id], id)
				seen[id] = true
			}
			for _, c := range in.Controls {
				once(c.ID)
			}
			for _, b := range in.Combination.Buttons {
				once(b.ID)
			}
			clear(seen)
			for _, r := range in.Ranks {
				once(r.ID)
			}
			clear(seen)
			for _, c := range in.Chests {
				once(c.ID)
			}
		}
	}
}

func TestEveryFourthSeedHasACycleOfCouplers(t *testing.T) {
	for _, size := range []Size{Tiny, Small, Large} {
		for seed := range uint64(60) {
			require.Equal(t, seed%4 == 0, hasCycle(Instrument(seed, size)), "seed %d", seed)
			require.True(t, hasCycle(Instrument(seed, size.WithCycle())))
			require.False(t, hasCycle(Instrument(seed, size.WithoutCycle())))
		}
	}
}

// hasCycle reports whether couplers that carry all lead from a keyboard back to it.
func hasCycle(in *console.Instrument) bool {
	var leads func(from, to int, seen []int) bool
	leads = func(from, to int, seen []int) bool {
		for _, c := range in.Couplers {
			home := in.Divisions[c.Division].Keyboard
			if c.Carries != console.CarriesAll || c.Keyboard != from || home == console.None {
				continue
			}
			if home == to || !slices.Contains(seen, home) && leads(home, to, append(seen, home)) {
				return true
			}
		}
		return false
	}
	for k := range in.Keyboards {
		if leads(k, k, nil) {
			return true
		}
	}
	return false
}
