package walk

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// stateOf is what moves bring about.
func stateOf(in *console.Instrument, moves []Move) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for _, m := range moves {
		switch m.Item.Kind {
		case wiring.ControlKind:
			s.Drawn[m.Item.Index] = true
		case wiring.KeyKind:
			s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: m.Item.Index, Note: console.Note(m.Item.Note)}})
		case wiring.Key2Kind:
			s.Held[len(s.Held)-1].Deep = true
		}
	}
	return s
}

func planOf(seed uint64) (*console.Instrument, *wiring.Relay, []Step) {
	in := gen.Instrument(seed, gen.Small)
	r := gen.Design(seed, in, gen.AnyOptions(seed))
	return in, r, Plan(in, r, nil, Options{})
}

func TestEveryMagnetThatIsWiredHasOneStep(t *testing.T) {
	for seed := range uint64(12) {
		in, r, steps := planOf(seed)
		hung := wiring.PinsOf(r, r.Soldered())
		tried := map[wiring.Item]int{}
		for _, s := range steps {
			if s.Phase == Valves || s.Phase == NoteLines || s.Phase == Actions {
				tried[s.Items[0]]++
			}
		}
		for _, item := range wiring.Needed(in) {
			switch item.Kind {
			case wiring.ValveKind, wiring.NoteKind, wiring.ActionKind:
				want := min(1, len(hung[item]))
				require.Equal(t, want, tried[item], "seed %d, %s", seed, Words(in, item))
			}
		}
	}
}

// The plain model of what sounds is the judge of how a valve is reached, and of
// what speaks when a stop or a coupler is tried.
func TestWhatIsPlayedOpensWhatItTries(t *testing.T) {
	valves, notes := 0, 0
	for seed := range uint64(6) {
		in, _, steps := planOf(seed)
		for _, s := range steps {
			if len(s.Moves) == 0 {
				continue
			}
			state := stateOf(in, s.Moves)
			switch s.Phase {
			case Valves:
				open := plain.Open(in, state)
				require.True(t, open[in.Ranks[s.Items[0].Index].Valve(s.Items[0].Note)], "seed %d, %s", seed, s.ID)
				valves++
			case NoteLines:
				require.NotContains(t, plain.Open(in, state), true, "seed %d, %s: a note line alone lets nothing speak", seed, s.ID)
				notes++
			case Runs:
				require.NotContains(t, plain.Open(in, state), true, "seed %d, %s: no key, no pipe", seed, s.ID)
			case Pipes, Couplers:
				if s.Good == Speaks {
					require.Contains(t, plain.Speaks(in, state), true, "seed %d, %s", seed, s.ID)
				} else {
					require.NotContains(t, plain.Speaks(in, state), true, "seed %d, %s: unison off", seed, s.ID)
				}
			}
		}
	}
	require.Positive(t, valves)
	require.Positive(t, notes)
}

func TestStepsHaveIDsOfTheirOwnAndComeInPhases(t *testing.T) {
	for seed := range uint64(12) {
		_, _, steps := planOf(seed)
		seen := map[string]bool{}
		for _, s := range steps {
			require.False(t, seen[s.ID], "seed %d: %s twice", seed, s.ID)
			seen[s.ID] = true
		}
		require.True(t, slices.IsSortedFunc(steps, func(a, b Step) int { return int(a.Phase) - int(b.Phase) }))
	}
}

// Whatever is loud or moves asks for the chamber first.
func TestWhatIsLoudOrMovesAsksForTheChamber(t *testing.T) {
	asked := 0
	for seed := range uint64(6) {
		in, _, steps := planOf(seed)
		for _, s := range steps {
			must := s.Phase == Shades || s.Phase == Tremulants || s.Phase == Full || s.Phase == Actions || s.Phase == Ciphers
			for _, m := range s.Moves {
				if m.Item.Kind != wiring.ControlKind || s.Phase < Ciphers {
					continue
				}
				if c := in.Controls[m.Item.Index]; c.Kind == console.StopControl {
					for _, take := range in.Stops[c.Index].Takes {
						must = must || in.Ranks[take.Rank].Family == "reed"
					}
				}
			}
			if must {
				require.True(t, s.Ask, "seed %d, %s", seed, s.ID)
				asked++
			}
		}
	}
	require.Positive(t, asked)
}

func TestTheBlowerIsInNoStep(t *testing.T) {
	for seed := range uint64(12) {
		_, _, steps := planOf(seed)
		for _, s := range steps {
			for _, m := range s.Moves {
				require.NotEqual(t, wiring.BlowerKind, m.Item.Kind)
			}
		}
	}
}
