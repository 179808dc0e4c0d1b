package combination_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
)

// measured has stops of known levels, one without, one in a box, a celeste and
// a coupler.
const measured = `format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
boxes: {swell-box: {stages: 8, softens: 16}}
divisions:
  great: {keyboard: great, chest: unit}
  swell: {chest: unit, notes: C2..C7, box: swell-box}
ranks:
  plain: {division: great, family: principal, feet: 8, pipes: 61}
  boxed: {division: swell, family: reed, feet: 8, pipes: 61}
  wavy: {division: great, family: string, feet: 8, pipes: 61, cents: 5}
stops:
  flute: {division: great, feet: 8, rank: plain, level: -20}
  second-flute: {division: great, feet: 8, rank: plain, level: -20}
  principal: {division: great, feet: 8, rank: plain, level: -10}
  reed: {division: swell, feet: 8, rank: boxed, level: 0}
  celeste: {division: great, feet: 8, rank: wavy, level: -30}
  unknown: {division: great, feet: 8, rank: plain}
couplers:
  swell-to-great: {division: swell, keyboard: great}
crescendo:
  stages: [[flute], [second-flute], [], [principal], {adds: [], drops: [principal]}, [swell-to-great], [reed]]
combination:
  buttons:
    soft: {kind: general, sets: [flute]}
    louder: {kind: general, sets: [flute, principal]}
    same: {kind: general, sets: [flute, principal, second-flute]}
    not-measured: {kind: general, sets: [unknown]}
    empty: {kind: general}
    set: {kind: set}
`

func on(in *console.Instrument, ids ...string) []bool {
	is := make([]bool, len(in.Controls))
	for c, control := range in.Controls {
		for _, id := range ids {
			is[c] = is[c] || control.ID == id
		}
	}
	return is
}

// Powers add: two equal sources are 3.01 dB above one, a source 10 dB below
// another adds 0.41 dB (10 lg 2, 10 lg 1.1: any textbook of acoustics).
func TestPowersAdd(t *testing.T) {
	in := parse(t, measured)
	for name, c := range map[string]struct {
		on    []string
		boxes []int
		want  float64
	}{
		"one":                          {[]string{"flute"}, nil, -20},
		"two equal":                    {[]string{"flute", "second-flute"}, nil, -16.9897},
		"one 10 dB below another":      {[]string{"flute", "principal"}, nil, -9.5861},
		"in a box that is open":        {[]string{"reed"}, []int{8}, 0},
		"in a box that is closed":      {[]string{"reed"}, []int{0}, -16},
		"in a box that is half open":   {[]string{"reed"}, []int{4}, -8},
		"a coupler adds nothing to it": {[]string{"flute", "swell-to-great"}, nil, -20},
	} {
		t.Run(name, func(t *testing.T) {
			dB, unmeasured := combination.Estimate(in, on(in, c.on...), c.boxes)
			require.InDelta(t, c.want, dB, 1e-4)
			require.Empty(t, unmeasured)
		})
	}
	dB, unmeasured := combination.Estimate(in, on(in, "unknown"), nil)
	require.True(t, math.IsInf(dB, -1))
	require.Equal(t, []int{5}, unmeasured)
}

func messages(p combination.Plan) []string {
	var list []string
	for _, f := range p.Findings {
		list = append(list, f.Rule+": "+f.Message)
	}
	return list
}

func TestAPlanOfTheCrescendo(t *testing.T) {
	in := parse(t, measured)
	plan := combination.PlanCrescendo(combination.NewMemories(in), 0, nil, 9)
	require.Equal(t, []string{
		"adds-nothing: stage 3 adds nothing",
		"not-louder: stage 5 gets no louder than the one before: -7.8 dB", // 10 lg (1 + 1 + 10) - 10 lg 2 = 7.78
		"loud-jump: stage 7 is louder by 17.1 dB, more than 9.0",          // 10 lg (1 + 1 + 100) - 10 lg 2 = 17.08
		"never-reached: no stage reaches celeste",
		"never-reached: no stage reaches unknown",
	}, messages(plan))
	require.InDelta(t, -16.9897, plan.Steps[1].DB, 1e-4)
	require.InDelta(t, 3.0103, plan.Steps[1].Rise, 1e-4)
}

func TestAPlanOfGenerals(t *testing.T) {
	in := parse(t, measured)
	slots := []console.Slot{{Memory: 1, Button: 0}, {Memory: 1, Button: 1}, {Memory: 1, Button: 2}}
	plan := combination.PlanGenerals(combination.NewMemories(in), slots, nil, 10)
	require.Equal(t, []string{"loud-jump: 1/louder is louder by 10.4 dB, more than 10.0"}, messages(plan))
	plan = combination.PlanGenerals(combination.NewMemories(in), []console.Slot{slots[1], slots[0]}, nil, 10)
	require.Equal(t, []string{"not-louder: 1/soft gets no louder than the one before: -10.4 dB"}, messages(plan))

	// What sounds nothing, or nothing that was measured, has no number to rise by.
	c := combination.New(in, nil)
	c.Do(0, console.Press(5))
	c.Do(0, console.Press(4))
	c.Do(0, console.Event{Kind: console.SavedEvent, Value: 1})
	plan = combination.PlanGenerals(c.Memories(), []console.Slot{slots[0], {Memory: 1, Button: 4}, slots[1], {Memory: 1, Button: 3}}, nil, 10)
	require.Equal(t, []string{"not-louder: 1/empty sounds nothing", "not-measured: without a level, and not counted: unknown"}, messages(plan))
	for _, s := range plan.Steps {
		require.True(t, math.IsNaN(s.Rise), "%s: %v", s.Name, s.Rise)
	}
}

func TestAProposedSequenceBeginsWithTheSoftest(t *testing.T) {
	in := parse(t, measured)
	proposed, leftOut := combination.Propose(in, 3, nil)
	require.Equal(t, []int{4, 5}, leftOut, "the celeste, and the stop without a level")
	var stages [][]int
	for _, s := range proposed.Stages {
		stages = append(stages, s.Adds)
	}
	require.Equal(t, [][]int{{0, 1}, {2}, {3}}, stages)

	// The proposal gets louder with every stage, and reaches every stop it may.
	in.Crescendo = []console.Sequence{proposed}
	for _, f := range combination.PlanCrescendo(combination.NewMemories(in), 0, nil, 100).Findings {
		require.Equal(t, combination.NeverReached, f.Rule, f.Message)
	}
}
