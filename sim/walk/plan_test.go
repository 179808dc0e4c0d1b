package walk

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
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

// stateAt is what a step brings about, with the crescendo's shoe, and with what a
// hand does first.
func stateAt(t *testing.T, in *console.Instrument, s Step) console.State {
	state := stateOf(in, s.Moves)
	switch s.Phase {
	case Transposer:
		_, err := fmt.Sscanf(s.First, "set the transposer to %d", &state.Transpose)
		require.NoError(t, err)
	case Crescendo:
		state.Sequence = slices.IndexFunc(in.Crescendo, func(q console.Sequence) bool { return strings.HasSuffix(s.First, " "+q.Name) })
		state.Sequence = max(0, state.Sequence)
		for _, m := range s.Moves {
			if m.Item.Kind == wiring.ShoeKind { // in the middle of a stage: there are as many parts as stages, and one for 0
				state.Stage = m.Value * (len(in.Crescendo[state.Sequence].Stages) + 1) / (console.ShoeMost + 1)
			}
		}
	}
	return state
}

func planOf(seed uint64) (*console.Instrument, *wiring.Relay, []Step) {
	in := gen.Instrument(seed, gen.Small)
	in.Transposer = console.Reach{Low: -2, High: 3}
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
	tried, silent := map[Phase]int{}, 0
	for seed := range uint64(6) {
		in, _, steps := planOf(seed)
		for _, s := range steps {
			if len(s.Moves) == 0 {
				continue
			}
			state := stateAt(t, in, s)
			tried[s.Phase]++
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
			case Pipes, Couplers, Crescendo, Transposer:
				if s.Good == Speaks {
					require.Contains(t, plain.Speaks(in, state), true, "seed %d, %s", seed, s.ID)
				} else {
					require.NotContains(t, plain.Speaks(in, state), true, "seed %d, %s: %s", seed, s.ID, s.Expect)
					silent++
				}
			}
		}
	}
	require.Positive(t, valves)
	require.Positive(t, notes)
	require.Positive(t, silent)
	for _, phase := range []Phase{Runs, Pipes, Couplers, Crescendo, Transposer} {
		require.Positive(t, tried[phase], phase.String())
	}
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

// A coupler's ends: within them it sounds, the keys beside them are silent, and of
// what unison off cuts nothing is left, as the plain model has it.
func TestACouplerIsTriedAtItsEndsAndBeyond(t *testing.T) {
	beyond, within := 0, 0
	for seed := range uint64(12) {
		in, _, steps := planOf(seed)
		for _, c := range in.Couplers {
			if c.Keyboard == console.None || c.Keyboard == in.Divisions[c.Division].Keyboard {
				continue
			}
			keyboard, notes := in.Keyboards[c.Keyboard].Keys, in.Divisions[c.Division].Notes
			held := map[console.Note]Step{}
			for _, s := range steps {
				if s.Phase == Couplers && s.Group == c.ID {
					keys := stateOf(in, s.Moves).Held
					if len(keys) == 1 {
						held[keys[0].Note] = s
					}
				}
			}
			for n := keyboard.From; n <= keyboard.To && len(held) > 0; n++ {
				lands := func(n console.Note) bool {
					return keyboard.Has(n) && c.Keys.Has(n) && notes.Has(n+console.Note(c.Shift))
				}
				switch s, tried := held[n]; {
				case lands(n) != lands(n+1) && keyboard.Has(n+1), lands(n) != lands(n-1) && keyboard.Has(n-1):
					require.True(t, tried, "seed %d, %s: %s is at an end", seed, c.ID, n)
				case tried && !lands(n):
					require.Equal(t, Good, s.Good, "seed %d, %s", seed, s.ID)
				}
			}
			for n, s := range held {
				if !c.Keys.Has(n) || !notes.Has(n+console.Note(c.Shift)) {
					require.Equal(t, Good, s.Good, "seed %d, %s: nothing lands", seed, s.ID)
					beyond++
				} else if s.Good == Speaks {
					within++
				}
			}
		}
	}
	require.Positive(t, beyond)
	require.Positive(t, within)
}

// The console with its combination action, of its own package, is the judge of what
// pistons bring: each is set as its step says, and pressed.
func TestPistonsBringWhatTheirStepsExpect(t *testing.T) {
	pressed, seen := 0, map[console.ButtonKind]bool{}
	for seed := range uint64(6) {
		in, _, steps := planOf(seed)
		c := combination.New(in, nil)
		now := time.Duration(0)
		do := func(e console.Event) (comes []Move) {
			now += time.Second
			save := 0
			for _, f := range c.Do(now, e) {
				switch f.Kind {
				case console.CoilEffect, console.LightEffect:
					kind := wiring.ControlKind
					if f.Kind == console.LightEffect {
						kind = wiring.LampKind
					}
					comes = append(comes, Move{item(kind, f.Index, 0), f.Value})
				case console.LampEffect:
					comes = append(comes, Move{item(wiring.LampKind, len(in.Controls)+f.Index, 0), f.Value})
				case console.SaveEffect:
					save = f.Value
				}
			}
			if save > 0 {
				c.Do(now, console.Event{Kind: console.SavedEvent, Value: save})
			}
			return comes
		}
		do(console.Event{Kind: console.ObeyEvent, Value: 1})
		move := func(m Move) []Move {
			switch {
			case m.Item.Kind == wiring.ButtonKind && m.Value == 1:
				return do(console.Press(m.Item.Index))
			case m.Item.Kind == wiring.ButtonKind:
				return do(console.Release(m.Item.Index))
			case m.Item.Kind == wiring.ControlKind && m.Value == 1:
				return do(console.Draw(m.Item.Index))
			}
			return do(console.Push(m.Item.Index))
		}
		for _, s := range steps {
			if s.Phase != Pistons {
				continue
			}
			var comes []Move
			for _, m := range s.Moves {
				comes = append(comes, move(m)...)
			}
			for _, m := range s.Comes {
				require.Contains(t, comes, m, "seed %d, %s: %s", seed, s.ID, s.Expect)
				pressed++
				seen[in.Combination.Buttons[s.Items[0].Index].Kind] = true
			}
			for _, m := range comes {
				if m.Item.Kind == wiring.ControlKind && s.Comes != nil {
					require.Contains(t, s.Comes, m, "seed %d, %s: no other knob moves", seed, s.ID)
				}
			}
			for _, m := range slices.Backward(s.Moves) {
				m.Value = 0
				move(m)
			}
			for _, m := range s.Undo {
				move(m)
			}
			for knob := range in.Controls {
				require.False(t, c.Machine().Drawn(knob), "seed %d, %s leaves %s out", seed, s.ID, in.Controls[knob].ID)
			}
			require.False(t, c.Machine().Tutti(), s.ID)
		}
	}
	require.Positive(t, pressed)
	require.Len(t, seen, 5, "generals, divisionals, reversibles, tutti and cancel tell of something")
}
