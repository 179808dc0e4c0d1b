package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/fault"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// twoManuals has a division whose outputs a plug may lead to the keys of the
// other keyboard, unless a coupler is on by which those play it.
const twoManuals = `format: 1
keyboards:
  great: {kind: manual, keys: C2..C7}
  choir: {kind: manual, keys: C2..C7}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
  choir: {keyboard: choir, notes: C2..C8, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  flute: {division: choir, family: flute, feet: 8, pipes: 73}
stops:
  principal-8: {division: great, feet: 8, rank: principal}
  flute-8: {division: choir, feet: 8, rank: flute}
  flute-4: {division: choir, feet: 4, rank: flute, above: fold}
couplers:
  choir-to-great: {division: choir, keyboard: great}
  choir-to-great-4: {division: choir, keyboard: great, shift: 12}
  great-to-choir: {division: great, keyboard: choir}
midi:
  keys: {great: {channel: 1, way: both}, choir: channel 2}
  controls: {stops: notes from 0 on channel 16, couplers: notes from 20 on channel 16}
`

// looped is the relay of two manuals, and the plug from the flute to the keys of
// the great.
func looped(t *testing.T) (c *cable, loop probe.Loop) {
	c = plugInto(t, twoManuals, Timing{})
	pins := wiring.PinsOf(c.relay, c.relay.Plan)
	for i := range 61 {
		note := 36 + i
		pipe := wiring.Item{Kind: wiring.ValveKind, Index: 1, Of: console.None, Note: i + 1}
		key := wiring.Item{Kind: wiring.KeyKind, Index: 0, Of: console.None, Note: note}
		loop = append(loop, probe.Looped{Output: pins[pipe][0], Input: pins[key][0], Hangs: pipe, Contact: key, Key: console.Key{Keyboard: 0, Note: console.Note(note)}})
	}
	return c, loop
}

// through tries a relay by a plug, in virtual time.
func (c *cable) through(plan probe.Plan, r *wiring.Relay, timing Timing) *Whole {
	m, _ := mapping.Load(c.in)
	c.organ = NewStandIn(c.in, m, r, timing)
	c.organ.Plug(plan.Loop, r)
	w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	c.try(w, func() bool { return true })
	return w
}

func TestARelayAnswersThroughAPlugAsItDoesInSimulation(t *testing.T) {
	c, loop := looped(t)
	plan := probe.Through(probe.New(c.in, c.relay), loop, c.relay, c.in)
	w := c.through(plan, c.relay, Timing{Debounce: 5 * ms, Bounce: 3 * ms, Late: 4 * ms, Seed: 2})
	require.Empty(t, w.Why)
	require.Equal(t, plan.Presses(), w.Pressed())
	require.Zero(t, w.Unsteady)
	require.Empty(t, probe.Differ(probe.Simulate(plan, c.relay, c.in), w.Answers))
}

// Of every class of mistake the middle one, those too by
// which keys behind the plug reach what leads through it: the answers are those
// of the simulation, so that it is named if anything is wrong; none hangs.
func TestEveryClassOfMistakeIsFoundThroughAPlug(t *testing.T) {
	c, loop := looped(t)
	plan := probe.Through(probe.New(c.in, c.relay), loop, c.relay, c.in)
	want := probe.Simulate(plan, c.relay, c.in)
	draws := [][]int{}
	for _, s := range plan.Steps {
		draws = append(draws, s.Draw)
	}
	tried, named, stays := map[string]int{}, 0, 0
	for _, s := range fault.Sites(c.relay, c.in) {
		f := s.Way(s.Count / 2)
		got := probe.Simulate(plan, f.Relay, c.in)
		if tried[s.Class] == 1 || len(probe.Differ(want, got)) == 0 {
			continue
		}
		tried[s.Class]++
		w := c.through(plan, f.Relay, Timing{Bounce: 1 * ms, Debounce: 2 * ms})
		require.Empty(t, w.Why, f.Where)
		require.Equal(t, got, w.Answers, f.Class+" "+f.Where)
		var found []string
		for _, x := range probe.Diagnose(plan, c.relay, c.in, w.Answers) {
			found = append(found, x.Class+" "+x.Where)
		}
		require.Contains(t, found, f.Class+" "+f.Where)
		named++
		for _, back := range probe.CompileWith(f.Relay, c.in, loop).FeedsBack(draws) {
			if back {
				stays++
				break
			}
		}
	}
	t.Logf("%d named, %d feed back", named, stays)
	require.Greater(t, named, 12)
	require.Positive(t, stays)
}

// What never falls silent, as an output that lets go of itself would not, is told.
func TestAPlugThatNeverComesToRestIsTold(t *testing.T) {
	c, loop := looped(t)
	m, _ := mapping.Load(c.in)
	plan := probe.Through(probe.New(c.in, c.relay), loop, c.relay, c.in)
	w := NewWhole(c.in, m, plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms})
	organ := m.End(mapping.AtOrgan, "cable")
	w.Tick(nil, 0)
	for now := listening; !w.Done(); now += 10 * ms {
		require.Less(t, now, 2*restless)
		w.Tick(nil, now)
		for _, message := range organ.Tell(nil, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Key, Note: 60}, Value: int(now/(10*ms)) % 2}) {
			w.Hear(midiio.Timed{At: now, Message: message})
		}
	}
	require.Contains(t, w.Why, "did not fall silent for 30s after a chord: by a mistake, keys behind the plug may reach")
}

// A key moves and is let go, its output is driven and is not, 320 microseconds a
// byte (MIDI 1.0, hardware); both are scanned, the contact behind the plug too.
func TestHowLongATestThroughAPlugTakesIsForetold(t *testing.T) {
	c, loop := looped(t)
	m, _ := mapping.Load(c.in)
	plan := probe.Plan{Loop: loop, Steps: []probe.Step{{Draw: []int{1}, Chords: [][]console.Held{{{Key: console.Key{Keyboard: 1, Note: 60}}}}}}}
	got := Foretell(plan, probe.Simulate(plan, c.relay, c.in), Settle{Time: 30 * ms}, m, 320*time.Microsecond)
	require.Equal(t, listening+2*(2*Answering+30*ms)+2*3*320*time.Microsecond, got)
}
