package cause

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/logic"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Sixty-four states at once open what the definitions open in each: those of
// the relay (wiring.Run) and of the instrument (console/plain).
func TestTrialsAgreeWithTheDefinitions(t *testing.T) {
	heard := 0
	for seed := range uint64(60) {
		size := gen.Tiny
		if seed%3 == 0 {
			size = size.WithCycle()
		}
		in := gen.Instrument(seed, size)
		relay := gen.AnyFault(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in).Relay
		for _, trial := range newTrials(in, 2, proof.Ask(in, relay).Witnesses()) {
			wrong := trial.after(relay)
			for bit := range states {
				state := trial.v.State(trial.at(bit))
				want, got := plain.Open(in, state), wiring.Run(relay, in, state).Open
				for v := range want {
					require.Equal(t, want[v] != got[v], wrong[v]>>bit&1 == 1, "seed %d, valve %d in %v", seed, v, state)
				}
				if len(wrong) > 0 && wrong[0] != 0 {
					heard++
				}
			}
		}
	}
	require.Positive(t, heard)
}

// So do they where no rule has kept the rows in order.
func TestTrialsAgreeOnWildRows(t *testing.T) {
	for seed := range uint64(150) {
		in := gen.Minute(seed)
		relay := gen.Wild(seed, in)
		if len(wiring.OwnOutcome(relay.Switch)) > 0 {
			continue
		}
		trial := newTrials(in, 1, proof.Ask(in, relay).Witnesses())[0]
		wrong := trial.after(relay)
		for bit := range states {
			state := trial.v.State(trial.at(bit))
			want, got := plain.Open(in, state), wiring.Run(relay, in, state).Open
			for v := range want {
				require.Equal(t, want[v] != got[v], wrong[v]>>bit&1 == 1, "seed %d, valve %d in %v", seed, v, state)
			}
		}
	}
}

// A wild relay is diagnosed all the same, and every cause's cure is proven.
func TestFindTakesWildRows(t *testing.T) {
	certain := 0
	for seed := range uint64(150) {
		in := gen.Minute(seed)
		relay := gen.Wild(seed, in)
		differing := proof.Differing(in, relay)
		found := find(in, relay, differing)
		var cures []suspect
		var claimed []int
		for _, g := range found {
			cures, claimed = append(cures, g.suspect), append(claimed, g.valves...)
		}
		still := proof.Differing(in, apply(relay, cures))
		for _, v := range claimed {
			require.NotContains(t, still, v, "seed %d", seed)
			certain++
		}
	}
	require.Greater(t, certain, 30)
}

// Where nothing can be proven nothing is explained, and no time is spent on it.
func TestNothingIsSaidOfARowThatPicksFromItsOwnOutcome(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.Options{})
	notes := []console.Note{in.Keyboards[0].Keys.From}
	relay.Switch = append(relay.Switch, wiring.Switch{Kind: wiring.Couple, Line: "ring", Notes: notes, To: "ring", ToNotes: notes, Picks: console.PicksLowest})
	differing := proof.Differing(in, relay)
	require.Len(t, differing, in.Valves)
	require.Equal(t, Found{Unexplained: differing}, Find(in, relay, differing))
}

// A diagnosis says the same every time.
func TestFindSaysTheSameEveryTime(t *testing.T) {
	for seed := range uint64(6) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.AnyFault(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in).Relay
		relay = gen.AnyFault(seed+50, relay, in).Relay
		differing := proof.Differing(in, relay)
		first := Find(in, relay, differing)
		for range 3 {
			require.Equal(t, first, Find(in, relay, differing), "seed %d", seed)
		}
	}
}

// Ranges of unequal length and pins that are not there are findings of their
// own, and a relay that has them is diagnosed all the same.
func TestFindTakesRelaysThatDoNotFit(t *testing.T) {
	for seed := range uint64(16) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.AnyFault(seed, gen.Design(seed, in, gen.AnyOptions(seed)), in).Relay
		r := rand.New(rand.NewPCG(seed, 0))
		for range 3 {
			rows := relay.Soldered()
			row := &rows[r.IntN(len(rows))]
			switch r.IntN(6) {
			case 0:
				row.Items = row.Items[:max(1, len(row.Items)-1)]
			case 1:
				row.Pins = row.Pins[:max(1, len(row.Pins)-1)]
			case 2:
				row.Pins[0].Pin = 999
			case 3:
				if len(relay.Switch) > 0 {
					s := &relay.Switch[r.IntN(len(relay.Switch))]
					s.Notes = s.Notes[:max(0, len(s.Notes)-1)]
				}
			case 4:
				if len(relay.Switch) > 0 {
					if s := &relay.Switch[r.IntN(len(relay.Switch))]; len(s.Pins) > 0 {
						s.Pins[0].Pin = 999
					}
				}
			case 5:
				if len(relay.Joins) > 0 {
					j := &relay.Joins[r.IntN(len(relay.Joins))]
					j.To = j.To[:max(1, len(j.To)-1)]
				}
			}
		}
		differing := proof.Differing(in, relay)
		found := Find(in, relay, differing)
		if len(differing) > 0 {
			require.NotEmpty(t, len(found.Causes)+len(found.Unexplained), "seed %d", seed)
		}
	}
}

// at is one of the states, as the variables that are true in it.
func (t *trial) at(bit int) []logic.Node {
	var state []logic.Node
	for n, on := range t.vars {
		if on>>bit&1 == 1 {
			state = append(state, logic.Node(n))
		}
	}
	return state
}
