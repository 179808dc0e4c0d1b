package probe

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// anyLoop is a plug of a generated relay: pin for pin from an output board to a
// board of keys, at the far ends of the cables in some; with the plan that can be
// tried through it. False where none was found.
func anyLoop(seed uint64, in *console.Instrument, r *wiring.Relay, whole Plan) (Plan, bool) {
	at := rand.New(rand.NewPCG(seed, 77))
	outputs, inputs := map[int][]Looped{}, map[int][]Looped{}
	pins := wiring.PinsOf(r, r.Plan)
	for _, row := range r.Plan {
		for i, item := range row.Items {
			on := row.Pins[i].On
			switch item.Kind {
			case wiring.ValveKind, wiring.NoteKind, wiring.ActionKind:
				outputs[on] = append(outputs[on], Looped{Output: row.Pins[i], Hangs: item})
			case wiring.KeyKind:
				inputs[on] = append(inputs[on], Looped{Input: row.Pins[i], Contact: item, Key: console.Key{Keyboard: item.Index, Note: console.Note(item.Note)}})
			}
		}
	}
	for range 20 {
		out, in1 := outputs[at.IntN(len(r.Boards))], inputs[at.IntN(len(r.Boards))]
		n := min(len(out), len(in1))
		far := [2]bool{at.IntN(3) == 0, at.IntN(3) == 0}
		var loop Loop
		for i := range n {
			p := in1[i]
			p.Output, p.Hangs = out[i].Output, out[i].Hangs
			p.FarOutput = far[0] && len(pins[p.Hangs]) == 1
			p.FarInput = far[1] && len(pins[p.Contact]) == 1
			loop = append(loop, p)
		}
		if n == 0 {
			continue
		}
		plan := Through(whole, loop, r, in)
		if slices.ContainsFunc(Simulate(plan, r, in), func(step []Set) bool {
			return slices.ContainsFunc(step, func(s Set) bool { return slices.ContainsFunc(s, func(w uint64) bool { return w != 0 }) })
		}) {
			return plan, true
		}
	}
	return Plan{}, false
}

// The judges are what should sound (console/plain), for what hangs on an output
// by itself, and what the relay does (wiring.Run): in no step of the plan do keys
// behind the plug, all of them or one, with a chord of the step or without, change
// what is driven through it.
func TestKeysBehindAPlugReachNothingThatLeadsThroughIt(t *testing.T) {
	tried, steps, through := 0, 0, 0
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Tiny)
		r := gen.Design(seed, in, gen.AnyOptions(seed))
		whole := New(in, r)
		plan, found := anyLoop(seed, in, r, whole)
		if !found {
			continue
		}
		tried++
		steps += len(whole.Steps)
		through += len(plan.Steps)
		luck := rand.New(rand.NewPCG(seed, 3))
		for at := 0; at < len(plan.Steps); at += 1 + luck.IntN(max(1, len(plan.Steps)/12)) {
			step := plan.Steps[at]
			var all []console.Held
			for _, p := range plan.Loop {
				all = append(all, console.Held{Key: p.Key})
			}
			chord := step.Chords[luck.IntN(len(step.Chords))]
			require.False(t, slices.ContainsFunc(chord, func(h console.Held) bool { return plan.Loop.Has(h.Keyboard) }))
			for _, held := range [][]console.Held{nil, chord} {
				alone := stateOf(in, step.Draw, held)
				should, does := plain.Open(in, alone), wiring.Run(r, in, alone)
				for _, behind := range [][]console.Held{all, {all[luck.IntN(len(all))]}} {
					s := stateOf(in, step.Draw, merged(held, behind))
					open, driven := plain.Open(in, s), wiring.Run(r, in, s)
					for _, p := range plan.Loop {
						require.Equal(t, does.Driven[p.Output], driven.Driven[p.Output], "seed %d: %s", seed, r.Name(p.Output))
						if p.Hangs.Kind == wiring.ValveKind {
							v := in.Ranks[p.Hangs.Index].Valve(p.Hangs.Note)
							require.Equal(t, should[v], open[v], "seed %d: %s", seed, r.Name(p.Output))
						}
					}
				}
			}
		}
	}
	t.Logf("%d plugs, %d of %d steps", tried, through, steps)
	require.Greater(t, tried, 30)
}

func merged(a, b []console.Held) []console.Held {
	list := slices.Concat(a, b)
	slices.SortFunc(list, func(a, b console.Held) int { return (a.Keyboard-b.Keyboard)*1000 + int(a.Note) - int(b.Note) })
	return list
}

// byHand is what is driven through a plug in the end, where something is at first,
// as wiring.Run has it: pin by pin, step by step until it stays as it is.
func byHand(in *console.Instrument, r *wiring.Relay, loop Loop, draw []int, chord []console.Held, driven []bool) (end []bool, rests bool) {
	taken, bare := loop.taken(), *r
	bare.Joins, bare.Wired = nil, []wiring.Row{}
	for _, j := range r.Joins {
		for at := range min(len(j.From), len(j.To)) {
			if !taken[j.From[at]] && !taken[j.To[at]] {
				bare.Joins = append(bare.Joins, wiring.Join{From: j.From[at : at+1], To: j.To[at : at+1]})
			}
		}
	}
	for _, row := range r.Soldered() {
		for at, item := range row.Items {
			if at < len(row.Pins) && !taken[row.Pins[at]] {
				bare.Wired = append(bare.Wired, wiring.Row{Pins: row.Pins[at : at+1], Items: []wiring.Item{item}})
			}
		}
	}
	for _, p := range loop {
		if !p.FarInput {
			bare.Wired = append(bare.Wired, wiring.Row{Pins: []wiring.Terminal{p.Input}, Items: []wiring.Item{p.Contact}})
		}
	}
	nets := wiring.Nets(&bare)
	for range 3 * (len(loop) + 2) {
		held := slices.Clone(chord)
		for i, p := range loop {
			if driven[i] {
				held = append(held, console.Held{Key: p.Key})
			}
		}
		out := wiring.Run(&bare, in, stateOf(in, draw, held))
		now := make([]bool, len(loop))
		for pin := range out.Driven {
			for i, p := range loop {
				now[i] = now[i] || !p.FarOutput && pin == p.Output ||
					p.FarOutput && slices.ContainsFunc(nets.Hung(nets.Of(pin)), func(h wiring.Hung) bool { return nets.Item(h) == p.Hangs })
			}
		}
		if slices.Equal(now, driven) {
			return driven, true
		}
		driven = now
	}
	return driven, false
}

// fedBack is a mistake by which something feeds back in some step of a plan, and
// that step; false where the ones that were tried have none.
func fedBack(seed uint64, in *console.Instrument, r *wiring.Relay, plan Plan) (f gen.Fault, step int, is bool) {
	var draws [][]int
	for _, s := range plan.Steps {
		draws = append(draws, s.Draw)
	}
	for try := range uint64(60) {
		f = gen.AnyFault(100*seed+try, r, in)
		if step = slices.Index(CompileWith(f.Relay, in, plan.Loop).FeedsBack(draws), true); step >= 0 {
			return f, step, true
		}
	}
	return f, 0, false
}

// Of relays with any mistake, and of those by which something feeds back.
func TestARelayWithAPlugFollowsTheDefinition(t *testing.T) {
	fed, restless := 0, 0
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Tiny)
		r := gen.Design(seed, in, gen.AnyOptions(seed))
		plan, found := anyLoop(seed, in, r, New(in, r))
		if !found {
			continue
		}
		f, at, back := fedBack(seed, in, r, plan)
		got := Simulate(plan, f.Relay, in)
		luck := rand.New(rand.NewPCG(seed, 4))
		for try := range 6 {
			if !back || try > 2 {
				at = luck.IntN(len(plan.Steps))
			}
			step := plan.Steps[at]
			chord := luck.IntN(len(step.Chords))
			want, rests := byHand(in, f.Relay, plan.Loop, step.Draw, step.Chords[chord], make([]bool, len(plan.Loop)))
			after, restsToo := byHand(in, f.Relay, plan.Loop, step.Draw, nil, want)
			if !rests || !restsToo {
				restless++
				continue
			}
			for i := range plan.Loop {
				require.Equal(t, want[i], got[at][chord].Has(i), "seed %d: %s", seed, r.Name(plan.Loop[i].Output))
				require.Equal(t, after[i], got[at][chord].Has(plan.Loop.Half()+i), "seed %d: %s let go", seed, r.Name(plan.Loop[i].Output))
			}
		}
		if back {
			fed++
		}
	}
	t.Logf("%d feed back, %d chords never come to rest", fed, restless)
	require.Greater(t, fed, 5)
}

// What is found through a plug is what is found by making every mistake.
func TestDiagnosisThroughAPlugAgreesWithTryingEveryMistake(t *testing.T) {
	found, fed := 0, 0
	for seed := range uint64(12) {
		in := gen.Instrument(seed, gen.Tiny)
		r := gen.Design(seed, in, gen.AnyOptions(seed))
		plan, is := anyLoop(seed, in, r, New(in, r))
		if !is {
			continue
		}
		f, _, back := fedBack(seed, in, r, plan)
		got := Simulate(plan, f.Relay, in)
		if len(Differ(Simulate(plan, r, in), got)) == 0 {
			continue
		}
		want, has := map[string]bool{}, map[string]bool{}
		for _, site := range fault.Sites(r, in) {
			for i := range site.Count {
				if f := site.Way(i); len(Differ(got, Simulate(plan, f.Relay, in))) == 0 {
					want[f.Class+" "+f.Where] = true
				}
			}
		}
		for _, f := range Diagnose(plan, r, in, got) {
			has[f.Class+" "+f.Where] = true
		}
		require.Equal(t, want, has, seed)
		found += len(has)
		if back {
			fed++
		}
	}
	require.Positive(t, found)
	require.Positive(t, fed)
}

// triedThrough plants a fault of a class in a generated relay, and tries the relay
// through a plug. It is heard when, as proof.Alike says, it changes what is driven
// through the plug, in a state that can be tried. seenBeside counts those that the
// plan sees and that judge did not.
func triedThrough(t testing.TB, seed uint64, size gen.Size, class string) (n tally, seenBeside int, missed string) {
	in := gen.Instrument(seed, size)
	r := gen.Design(seed, in, gen.AnyOptions(seed))
	f, made := gen.Plant(seed, r, in, class)
	if !made {
		return n, 0, ""
	}
	plan, found := anyLoop(seed, in, r, New(in, r))
	if !found {
		return n, 0, ""
	}
	compared, relays := withPlug(in, plan.Loop, r, f.Relay)
	verdict, state := proof.Alike(compared, relays[0], relays[1])
	var draw []int
	for c, on := range state.Drawn {
		if on {
			draw = append(draw, c)
		}
	}
	heard := verdict == proof.Different && !CompileWith(r, in, plan.Loop).FeedsBack([][]int{draw})[0]
	got := Simulate(plan, f.Relay, in)
	if seen := len(Differ(Simulate(plan, r, in), got)) > 0; !seen {
		if heard {
			n.heard = 1
			return n, 0, "not seen: " + f.Description
		}
		return n, 0, ""
	}
	if n.heard, n.seen = 1, 1; !heard {
		seenBeside = 1
	}
	left := Diagnose(plan, r, in, got)
	more, groups := Split(plan, r, in, left)
	n.chords = more.Presses()
	groups = Narrow(more, in, groups, Simulate(more, f.Relay, in))
	if len(groups) != 1 || !groups[0].Proven {
		return n, seenBeside, fmt.Sprintf("%d groups left of %d: %s", len(groups), len(left), f.Description)
	}
	at := slices.IndexFunc(groups[0].Faults, func(x fault.Fault) bool { return is(x, f) })
	if at < 0 {
		return n, seenBeside, fmt.Sprintf("%s, not %s", groups[0].Faults[0].Class+" "+groups[0].Faults[0].Where, f.Description)
	}
	if n.named = 1; at == 0 {
		n.first = 1
	}
	if len(groups[0].Faults) == 1 {
		n.alone = 1
	}
	return n, seenBeside, ""
}

// Some faults of every class in tiny relays: all that can be heard through the plug
// are seen, and nearly all are named. BenchmarkNamedThroughAPlug tries larger ones, of
// which less is named than where valves are reported: what would tell
// mistakes apart may feed back.
func TestFaultsAreSeenAndNamedThroughAPlug(t *testing.T) {
	var all tally
	for i, class := range gen.Classes {
		for at := range 16 {
			n, _, missed := triedThrough(t, uint64(i+29*at), gen.Tiny, class)
			if all.add(n); missed != "" {
				t.Log(class, i+29*at, missed)
			}
		}
	}
	t.Logf("%+v", all)
	require.Greater(t, all.heard, 8)
	require.Equal(t, all.heard, all.seen)
	require.GreaterOrEqual(t, all.named*100, all.heard*95, "%+v", all)
}

// BenchmarkNamedThroughAPlug is BenchmarkNamed for relays with a plug in.
func BenchmarkNamedThroughAPlug(b *testing.B) {
	if b.N == 1 {
		return
	}
	sum, beside := tally{}, 0
	for i := range b.N {
		n, besides, missed := triedThrough(b, uint64(i), gen.Small, gen.Classes[i%len(gen.Classes)])
		sum.add(n)
		if beside += besides; missed != "" && testing.Verbose() {
			fmt.Println("  ", i, gen.Classes[i%len(gen.Classes)], missed)
		}
	}
	fmt.Printf("%+v, %d of them seen beside\n", sum, beside)
	for name, n := range map[string]int{"%seen": sum.seen, "%named": sum.named, "%named-first": sum.first, "%alone": sum.alone} {
		b.ReportMetric(100*float64(n)/float64(max(1, sum.heard)), name)
	}
}
