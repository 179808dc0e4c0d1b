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

// played is a Sounding under test beside the state that it should be in.
type played struct {
	in       *console.Instrument
	sounding *console.Sounding
	depth    map[console.Key]int // contacts made
	state    console.State

	open, speaks []bool // what console/plain said last
}

func newPlayed(in *console.Instrument) *played {
	return &played{
		in: in, sounding: console.NewSounding(in),
		depth: map[console.Key]int{}, state: console.State{Drawn: make([]bool, len(in.Controls))},
		open: make([]bool, in.Valves), speaks: make([]bool, in.Valves),
	}
}

func (p *played) key(k console.Key, depth int) console.Change {
	p.depth[k] = depth
	switch depth {
	case 0:
		return console.KeyUp(k)
	case 1:
		return console.KeyDown(k)
	}
	return console.KeyDeep(k)
}

func (p *played) turn(control int, on bool) console.Change {
	p.state.Drawn[control] = on
	if on {
		return console.TurnOn(control)
	}
	return console.TurnOff(control)
}

func (p *played) transpose(semitones int) console.Change {
	p.state.Transpose = semitones
	return console.TransposeTo(semitones)
}

// change draws one change of any kind, most often a key.
func (p *played) change(t *rapid.T) console.Change {
	switch rapid.IntRange(0, 19).Draw(t, "kind") {
	default:
		m := rapid.IntRange(0, len(p.in.Keyboards)-1).Draw(t, "keyboard")
		keys := p.in.Keyboards[m].Keys
		n := rapid.IntRange(int(keys.From), int(keys.To)).Draw(t, "key")
		return p.key(console.Key{Keyboard: m, Note: console.Note(n)}, rapid.IntRange(0, 2).Draw(t, "depth"))
	case 0, 1, 2, 3, 4, 5, 6, 7, 8:
		control := rapid.IntRange(0, len(p.in.Controls)-1).Draw(t, "control")
		return p.turn(control, rapid.IntRange(0, 2).Draw(t, "on") > 0)
	case 9:
		return p.transpose(rapid.IntRange(-14, 14).Draw(t, "semitones"))
	}
}

// apply makes the changes as one and compares all that can be asked with what
// console/plain says.
func (p *played) apply(t require.TestingT, changes ...console.Change) {
	changed := p.sounding.Apply(changes...)

	p.state.Held = nil
	for k, depth := range p.depth {
		if depth > 0 {
			p.state.Held = append(p.state.Held, console.Held{Key: k, Deep: depth == 2})
		}
	}
	open, speaks := plain.Open(p.in, p.state), plain.Speaks(p.in, p.state)
	var differ, wrong []int
	count := 0
	for v := range open {
		if open[v] != p.sounding.Open(v) || speaks[v] != p.sounding.Speaks(v) {
			wrong = append(wrong, v)
		}
		if open[v] != p.open[v] || speaks[v] != p.speaks[v] {
			differ = append(differ, v)
		}
		if open[v] {
			count++
		}
	}
	require.Empty(t, wrong, "valves that differ from console/plain")
	require.Equal(t, count, p.sounding.OpenCount())
	require.Equal(t, differ, slices.Sorted(slices.Values(changed)), "what Apply says has changed")
	p.open, p.speaks = open, speaks

	lines, _ := plain.Lines(p.in, p.state)
	for d, line := range lines {
		got := plain.Notes{}
		for n := console.LowestNote; n <= console.HighestNote; n++ {
			if p.sounding.Line(d, n) {
				got[n] = true
			}
		}
		require.Equal(t, line, got, "line of division %d", d)
	}
}

// spiced is a generated instrument with more of what generated ones have
// rarely: second touches, transfers between keyboards of any compass, divides
// and unison offs of every division.
func spiced(t *rapid.T, in *console.Instrument) *console.Instrument {
	odds := func(n int) bool { return rapid.IntRange(1, n).Draw(t, "odds") == 1 }
	control := func(kind console.ControlKind, index int) int {
		in.Controls = append(in.Controls, console.Control{Kind: kind, Index: index})
		return len(in.Controls) - 1
	}
	if odds(3) {
		for m := range in.Keyboards {
			in.Keyboards[m].Touches = rapid.IntRange(1, 2).Draw(t, "touches")
		}
		for i := range in.Couplers {
			in.Couplers[i].Touch = rapid.IntRange(1, 2).Draw(t, "touch of a coupler")
		}
		for i := range in.Stops {
			in.Stops[i].Touch = rapid.IntRange(1, 2).Draw(t, "touch of a stop")
		}
	}
	for m, keyboard := range in.Keyboards {
		if odds(4) {
			split := keyboard.Keys.From + console.Note(rapid.IntRange(1, keyboard.Keys.Len()-1).Draw(t, "split"))
			in.Divides = append(in.Divides, console.Divide{Keyboard: m, Split: split,
				Control: control(console.DivideControl, len(in.Divides))})
		}
		if other := (m + 1) % len(in.Keyboards); odds(4) && other != m {
			in.Transfers = append(in.Transfers, console.Transfer{Keyboards: [2]int{m, other},
				Control: control(console.TransferControl, len(in.Transfers))})
		}
	}
	for d := range in.Divisions {
		if odds(4) {
			cuts := rapid.SampledFrom([]console.Cuts{console.CutsKeys, console.CutsLine, console.CutsAll}).Draw(t, "cuts")
			in.UnisonOffs = append(in.UnisonOffs, console.UnisonOff{Division: d, Cuts: cuts,
				Control: control(console.UnisonOffControl, len(in.UnisonOffs))})
		}
	}
	return in
}

// Whatever is worked, in any order and in sets, ends where console/plain
// ends; and when all is let go, nothing is left over.
func TestSoundingFollowsThePlainDefinition(t *testing.T) {
	steps, organs, cycles := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		seed, size := rapid.Uint64Range(0, 1<<20).Draw(t, "seed"), gen.Tiny
		if rapid.IntRange(0, 7).Draw(t, "size") == 7 {
			size = gen.Small
		}
		if rapid.Bool().Draw(t, "cycle") {
			size = size.WithCycle()
			cycles++
		}
		organs++
		p := newPlayed(spiced(t, gen.Instrument(seed, size)))
		for range rapid.IntRange(110, 150).Draw(t, "steps") {
			var set []console.Change
			for range rapid.SampledFrom([]int{1, 1, 1, 2, 5, 20}).Draw(t, "changes") {
				set = append(set, p.change(t))
			}
			p.apply(t, set...)
			steps++
		}
		var clear []console.Change
		for k := range p.depth {
			clear = append(clear, p.key(k, 0))
		}
		if rapid.Bool().Draw(t, "keys first") {
			p.apply(t, clear...)
			clear = nil
		}
		for c := range p.in.Controls {
			clear = append(clear, p.turn(c, false))
		}
		p.apply(t, clear...)
		require.True(t, p.sounding.Idle(), "everything is off and let go")
	})
	require.GreaterOrEqual(t, steps, 10_000)
	require.GreaterOrEqual(t, 4*cycles, organs, "instruments with couplers that move each other's keys")
}

func TestApplyAllocatesNothing(t *testing.T) {
	in, sounding, s := drawnLarge()
	keys, i := keysOf(in, s.Held), 0
	require.Zero(t, testing.AllocsPerRun(1000, func() {
		key, control := keys[i%len(keys)], i%len(in.Controls)
		sounding.Apply(console.KeyDeep(key), console.TurnOn(control), console.TransposeTo(i%3))
		sounding.Apply(console.KeyUp(key), console.TurnOff(control))
		i++
	}))
}

func TestMovedKeysAreThoseHeldOrPulledDown(t *testing.T) {
	in := parsed(t, `
format: 1
instrument: Pulled down
keyboards: {great: {kind: manual, keys: C2..C7}, pedal: {kind: pedal, keys: C2..G4}}
divisions: {great: {keyboard: great, notes: C2..C7, chest: unit}}
ranks: {flute: {division: great, family: flute, feet: 8, pipes: 61}}
stops: {flute: {division: great, feet: 8, rank: flute}}
couplers: {great-to-pedal: {division: great, keyboard: pedal, carries: all, shift: 12}}
`)
	sounding := console.NewSounding(in)
	sounding.Apply(console.TurnOn(1), console.KeyDown(console.Key{Keyboard: 1, Note: 36}))
	require.True(t, sounding.Moved(1, 36))
	require.True(t, sounding.Moved(0, 48))
	require.False(t, sounding.Moved(0, 36))
	require.False(t, sounding.Moved(0, 128))
	sounding.Apply(console.TurnOff(1))
	require.False(t, sounding.Moved(0, 48))
}
