package proof

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/equation"
	"trundle/sim/gen"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// 486 generated relays, half of them with a fault, of each class in turn:
// proof and SAT solver say the same of every output. The reference is the
// solver gophersat v1.4.0, asked one output at a time, each time anew.
func TestVerdictsAreThoseOfASolver(t *testing.T) {
	count := map[Verdict]int{}
	faults := map[string]bool{}
	for seed := range uint64(486) {
		size := gen.Tiny
		if seed%4 == 3 {
			size = size.WithCycle()
		}
		in := gen.Instrument(seed, size)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		if seed%2 == 1 {
			class := gen.Classes[int(seed/2)%len(gen.Classes)]
			fault, ok := gen.Plant(seed, relay, in, class)
			if !ok { // this relay has no place for one of the class
				fault = gen.AnyFault(seed, relay, in)
			}
			relay = fault.Relay
			faults[fault.Class] = true
		}
		result := againstSolver(t, in, relay)
		if seed%2 == 0 {
			require.Equal(t, Equal, result.Verdict, "seed %d", seed)
		}
		count[result.Verdict]++
	}
	require.GreaterOrEqual(t, count[Equal], 243)
	require.Greater(t, count[Different], 130, "faults that nobody hears prove little")
	require.Len(t, faults, len(gen.Classes))
}

// The counterexample is no larger than the smallest found by trying every
// state of few keys and controls, one more at a time, with the definitions.
func TestTheCounterexampleIsSmallest(t *testing.T) {
	tried := 0
	for seed := range uint64(120) {
		in := gen.Instrument(seed, gen.Tiny)
		fault := gen.AnyFault(seed, gen.Design(seed, in, gen.Options{}), in)
		result := Prove(in, fault.Relay)
		if result.Verdict != Different {
			continue
		}
		state := result.Counterexample.State
		size := len(state.Held) + drawn(state)
		require.NotNil(t, confirm(in, fault.Relay, state))
		for _, smaller := range allStates(in, size-1) {
			require.Nil(t, confirm(in, fault.Relay, smaller), "seed %d: %v is smaller than %v", seed, smaller, state)
			tried++
		}
	}
	require.Greater(t, tried, 1000)
}

func drawn(s console.State) int {
	n := 0
	for _, on := range s.Drawn {
		if on {
			n++
		}
	}
	return n
}

// allStates are the states of at most so many keys and controls together, up
// to two: more would take too long.
func allStates(in *console.Instrument, most int) []console.State {
	var things []func(*console.State)
	for c := range in.Controls {
		things = append(things, func(s *console.State) { s.Drawn[c] = true })
	}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			things = append(things, func(s *console.State) {
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}})
			})
		}
	}
	state := func(of ...int) console.State {
		s := console.State{Drawn: make([]bool, len(in.Controls))}
		for _, i := range of {
			things[i](&s)
		}
		return s
	}
	states := []console.State{}
	if most >= 0 {
		states = append(states, state())
	}
	for i := range things {
		if most >= 1 {
			states = append(states, state(i))
		}
		for j := range i {
			if most >= 2 && (i+j)%7 == 0 { // a part of the pairs
				states = append(states, state(j, i))
			}
		}
	}
	return states
}

// What a relay is proven to be, running it in random states confirms.
func TestProvenRelaysPlayAsTheInstrument(t *testing.T) {
	for seed := range uint64(40) {
		in := gen.Instrument(seed, gen.Small)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		result := Prove(in, relay)
		require.Equal(t, Equal, result.Verdict, "seed %d: %s", seed, result.Reason)
		require.Equal(t, in.Valves, result.Outputs)
		random := rand.New(rand.NewPCG(seed, 5))
		for range 5 {
			s := console.State{Drawn: make([]bool, len(in.Controls))}
			for c := range s.Drawn {
				s.Drawn[c] = random.IntN(3) > 0
			}
			for k, keyboard := range in.Keyboards {
				for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
					if random.IntN(10) == 0 {
						s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}})
					}
				}
			}
			require.Equal(t, plain.Open(in, s), wiring.Run(relay, in, s).Open)
		}
	}
}

// A relay in which a row that picks feeds itself has no meaning; the proof
// says so and does not guess.
func TestARowThatPicksFromItselfIsNotDecided(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.Options{})
	keys := in.Keyboards[0].Keys
	notes := []console.Note{keys.From, keys.From + 1}
	relay.Switch = append(relay.Switch,
		wiring.Switch{Kind: wiring.Couple, Line: "ring", Notes: notes, To: "ring", ToNotes: []console.Note{notes[1], notes[0]}, Picks: console.PicksLowest},
		wiring.Switch{Kind: wiring.Couple, Line: relay.Switch[0].Line, Notes: notes[:1], To: "ring", ToNotes: notes[:1]},
	)
	result := Prove(in, relay)
	require.Equal(t, NotDecided, result.Verdict)
	require.NotEmpty(t, result.Reason)
}

// So it is where only one note goes round, and nothing has to be silent for it.
func TestARowThatPicksItsOnlyNoteFromItselfIsNotDecided(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.Options{})
	note := []console.Note{in.Keyboards[0].Keys.From}
	relay.Switch = append(relay.Switch,
		wiring.Switch{Kind: wiring.Couple, Line: relay.Switch[0].Line, Notes: note, To: "ring", ToNotes: note, Picks: console.PicksLowest},
		wiring.Switch{Kind: wiring.Couple, Line: "ring", Notes: note, To: relay.Switch[0].Line, ToNotes: note},
	)
	require.Equal(t, NotDecided, Prove(in, relay).Verdict)
}

// A relay drives outputs only: one whose board is an input drives nothing, and
// no magnet that hangs there opens its valve.
func TestAnInputBoardIsNotDriven(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.Options{})
	require.Equal(t, Equal, Prove(in, relay).Verdict)
	for b := range relay.Boards {
		relay.Boards[b].Direction = wiring.Input
	}
	result := Prove(in, relay)
	require.Equal(t, Different, result.Verdict)
	require.NotNil(t, result.Counterexample)
}

// Forty octave couplers that carry all, in circles over four manuals: the
// proof ends, clean and with a fault.
func TestCirclesOfCouplersEnd(t *testing.T) {
	in := circles(40)
	relay := gen.Design(1, in, gen.Options{})
	require.Equal(t, Equal, Prove(in, relay).Verdict)
	for seed := range uint64(6) {
		fault := gen.AnyFault(seed, relay, in)
		require.NotEqual(t, NotRun, Prove(in, fault.Relay).Verdict)
	}
}

// circles is four manuals with a division each, and couplers from each to
// each, up and down an octave and at pitch in turn, all of which carry all.
func circles(couplers int) *console.Instrument {
	size := gen.Small.WithoutCycle()
	in := gen.Instrument(2, size)
	manuals := []int{}
	for k, keyboard := range in.Keyboards {
		if keyboard.Kind == console.Manual {
			manuals = append(manuals, k)
		}
	}
	var homes []int
	for _, k := range manuals {
		for d, division := range in.Divisions {
			if division.Keyboard == k {
				homes = append(homes, d)
				break
			}
		}
	}
	for i := range couplers {
		from, to := i%len(manuals), (i+1)%len(homes)
		control := len(in.Controls)
		in.Controls = append(in.Controls, console.Control{ID: "round-" + string(rune('a'+i%26)) + string(rune('a'+i/26)), Kind: console.CouplerControl, Index: len(in.Couplers), Style: console.Moving})
		in.Couplers = append(in.Couplers, console.Coupler{
			ID: in.Controls[control].ID, Division: homes[to], Keyboard: manuals[from], Shift: []int{12, -12, 0, 7}[i%4],
			Carries: console.CarriesAll, Keys: console.AllNotes, Touch: 1, Control: control,
		})
	}
	return in
}

var sink Result

func BenchmarkLarge(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	b.Run("clean", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			sink = Prove(in, relay)
		}
		require.Equal(b, Equal, sink.Verdict)
	})
	for _, class := range gen.Classes {
		fault, ok := gen.Plant(1, relay, in, class)
		if !ok {
			continue
		}
		b.Run(class, func(b *testing.B) {
			for b.Loop() {
				sink = Prove(in, fault.Relay)
			}
		})
	}
}

// BenchmarkAgainstSolver proves the large relay and asks the solver gophersat
// v1.4.0 about a part of its outputs, one at a time, in the same run: clean,
// and with a fault. The clauses are those of formula: Tseitin's, of what the
// output depends on, cycles in as many rounds as they have nodes. It reports
// how often the proof of all outputs goes into the solver's time for all.
func BenchmarkAgainstSolver(b *testing.B) {
	in := gen.Instrument(1, gen.Large.WithoutCycle())
	clean := gen.Design(1, in, gen.Options{})
	fault, ok := gen.Plant(1, clean, in, "pins-swapped")
	require.True(b, ok)
	for name, relay := range map[string]*wiring.Relay{"clean": clean, "faulted": fault.Relay} {
		b.Run(name, func(b *testing.B) {
			v := equation.NewVariables(in)
			w := logic.New(v.Count)
			want := equation.AddInstrument(w, v).Valves
			got := equation.AddRelay(w, relay, v.Contacts(w, relay)).Valves(in)
			cycle, size := cycles(w)
			const step = 100 // every hundredth output
			var proof, solver time.Duration
			for b.Loop() {
				start := time.Now()
				sink = Prove(in, relay)
				proof += time.Since(start)
				start = time.Now()
				for valve := 0; valve < len(want); valve += step {
					differ(w, cycle, size, want[valve], got[valve])
				}
				solver += time.Since(start) * step
			}
			b.ReportMetric(float64(solver)/float64(proof), "solver/proof")
		})
	}
}
