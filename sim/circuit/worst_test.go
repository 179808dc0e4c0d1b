package circuit

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// threeClasses are the magnets of generated relays.
const threeClasses = `
supplies: {main: {volts: 15, amps: 40}}
magnets:
  valves: {kinds: [valve], ohms: 150, pull-in: 8}
  notes: {kinds: [note], ohms: 90}
  actions: {kinds: [action], ohms: 40}
`

// generated is the circuit of a generated relay.
func generated(t testing.TB, seed uint64, size gen.Size, opt gen.Options, sections string) (*Circuit, *wiring.Relay, *console.Instrument) {
	t.Helper()
	files := gen.Relay(seed, gen.Instrument(seed, size), opt)
	files[gen.RelayFile] = append(files[gen.RelayFile], sections...)
	dir := t.TempDir()
	require.NoError(t, files.Write(dir))
	in, found := console.Load(filepath.Join(dir, gen.InstrumentFile))
	require.NotNil(t, in, "%v", found)
	r, found := wiring.Load(filepath.Join(dir, gen.RelayFile), in)
	require.NotNil(t, r, "%v", found)
	c, found := Read(r, in)
	require.Empty(t, found)
	require.NotEmpty(t, c.Loads)
	return c, r, in
}

// chords are all sets of keys that a player can hold, by trying every window
// of every limb.
func chords(in *console.Instrument, p Player) [][]console.Key {
	reach := func(kind console.KeyboardKind, most, span int) (sets [][]console.Key) {
		sets = [][]console.Key{nil}
		for m, keyboard := range in.Keyboards {
			if keyboard.Kind != kind {
				continue
			}
			count := int(keyboard.Keys.To-keyboard.Keys.From) + 1
			for bits := 1; bits < 1<<count; bits++ {
				var set []console.Key
				for i := range count {
					if bits>>i&1 == 1 {
						set = append(set, console.Key{Keyboard: m, Note: keyboard.Keys.From + console.Note(i)})
					}
				}
				if len(set) <= most && int(set[len(set)-1].Note-set[0].Note) <= span {
					sets = append(sets, set)
				}
			}
		}
		return sets
	}
	twice := func(sets [][]console.Key) (two [][]console.Key) {
		for i, a := range sets {
			for _, b := range sets[i:] {
				two = append(two, append(append([]console.Key{}, a...), b...))
			}
		}
		return two
	}
	var all [][]console.Key
	feet := twice(reach(console.Pedal, p.Toes, p.FootSpan))
	for _, hands := range twice(reach(console.Manual, p.Fingers, p.Span)) {
		for _, f := range feet {
			all = append(all, append(append([]console.Key{}, hands...), f...))
		}
	}
	return all
}

// plainly is what the loads draw in a state by the definition of what sounds.
func plainly(c *Circuit, in *console.Instrument, s console.State, nominal []float64) float64 {
	open := plain.Open(in, s)
	lines, _ := plain.Lines(in, s)
	on := in.On(s)
	sum := 0.0
	for i, l := range c.Loads {
		is := false
		switch l.Item.Kind {
		case wiring.ValveKind:
			is = open[in.Ranks[l.Item.Index].First+l.Item.Note-1]
		case wiring.NoteKind:
			for _, d := range in.Chests[l.Item.Index].Plays {
				is = is || (l.Item.Of == console.None || l.Item.Of == d) && lines[d][console.Note(l.Item.Note)]
			}
		case wiring.ActionKind:
			for _, stop := range in.Stops {
				for _, take := range stop.Takes {
					is = is || take.Rank == l.Item.Index && on[stop.Control] && (l.Item.Of == console.None || l.Item.Of == stop.Division)
				}
			}
		}
		if is {
			sum += nominal[i]
		}
	}
	return sum
}

// On small instruments the worst chord is that of trying every chord, and no
// registration of stops and couplers draws more than the bound.
func TestTheWorstChordIsThatOfTryingThemAll(t *testing.T) {
	p := Player{Fingers: 2, Span: 3, Toes: 1, FootSpan: 2}
	exact, seeds, picked := 0, 0, 0
	for seed := range uint64(120) {
		c, _, in := generated(t, seed, gen.Tiny, gen.Options{}, threeClasses)
		s := NewSearch(c, in, p)
		w := s.Chord(all(len(c.Loads)), 1)
		require.InDelta(t, plainly(c, in, s.State(w.Keys), s.nominal), w.Amps, 1e-9, "seed %d", seed)
		list := chords(in, p)
		r := rand.New(rand.NewPCG(seed, 3))
		r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		drawn := full(in)
		most := 0.0
		sounds := newHearing(c, in)
		for i, keys := range list {
			state := s.State(keys)
			sum := 0.0
			for _, l := range sounds.on(state) {
				sum += s.nominal[l]
			}
			most = max(most, sum)
			if i < 60 { // the definition itself, and other registrations
				require.InDelta(t, plainly(c, in, state, s.nominal), sum, 1e-9)
				state.Drawn = append([]bool{}, drawn...)
				for k := range state.Drawn {
					if r.IntN(4) == 0 {
						state.Drawn[k] = !state.Drawn[k]
					}
				}
				require.LessOrEqual(t, plainly(c, in, state, s.nominal), w.Bound+1e-9, "seed %d", seed)
			}
		}
		seeds++
		if s.settled && s.ways[0].picks != nil {
			picked++
		}
		require.LessOrEqual(t, most, w.Bound+1e-9, "seed %d", seed)
		if w.Exact() {
			exact++
			require.InDelta(t, most, w.Amps, 1e-9, "seed %d: %d chords", seed, len(list))
		} else {
			require.False(t, s.settled, "seed %d: %v of at most %v, by trying %v", seed, w.Amps, w.Bound, most)
		}
	}
	t.Logf("%d of %d exact, %d with couplers that pick a key", exact, seeds, picked)
	require.Greater(t, exact, seeds*9/10)
	require.Greater(t, picked, seeds/5)
}

func all(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// The report on the large instrument, wired: 2 s is what it may take.
func BenchmarkReportOnTheLargeInstrument(b *testing.B) {
	c, r, in := generated(b, 1, gen.Large, gen.Options{Cables: true}, threeClasses)
	for i := range c.Boards {
		c.Boards[i].Amps, c.Boards[i].PinAmps = 10, 0.5
		c.Fuses = append(c.Fuses, Fuse{ID: fmt.Sprint("F", i), Amps: 6})
		c.Boards[i].Fuse = i
	}
	for i := range c.Cables {
		c.Cables[i].Gauge, c.Cables[i].Metres = AWG(24), 18
	}
	for b.Loop() {
		s := NewReporter(c, r, in, OnePlayer)
		rep := s.Report()
		s.Findings(rep)
		b.ReportMetric(float64(len(rep.Lines)), "lines")
		b.ReportMetric(rep.Lines[0].Chord.Amps, "A-found")
		b.ReportMetric(rep.Lines[0].Chord.Bound, "A-bound")
	}
}
