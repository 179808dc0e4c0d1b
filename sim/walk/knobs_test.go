package walk

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// jamb is knobs as they hang on their wires, for tests: the knob that each coil
// moves, which way, and what a contact says whatever its knob does.
type jamb struct {
	moves [2][]int // by way, in and out: the knob that a coil moves, -1 for none
	to    [2][]bool
	held  map[int]bool // contacts that never break, or never make
}

func newJamb(n int) *jamb {
	j := &jamb{held: map[int]bool{}}
	for way := range 2 {
		for k := range n {
			j.moves[way] = append(j.moves[way], k)
			j.to[way] = append(j.to[way], way == 1)
		}
	}
	return j
}

func (j *jamb) run(p KnobPlan) (read [][]bool) {
	out := make([]bool, p.Knobs)
	for _, move := range p.Moves {
		for _, group := range move.Groups {
			for _, k := range group {
				way := 0
				if move.On {
					way = 1
				}
				switch knob := j.moves[way][k]; {
				case move.Hand:
					out[k] = move.On
				case knob >= 0:
					out[knob] = j.to[way][k]
				}
			}
		}
		says := slices.Clone(out)
		for k, always := range j.held {
			says[k] = always
		}
		read = append(read, says)
	}
	return read
}

// faultAt makes a fault at a knob, and another that it needs.
func (j *jamb) faultAt(f KnobFault, a, b int) KnobFinding {
	swap := func(list []int) { list[a], list[b] = list[b], list[a] }
	two := []int{min(a, b), max(a, b)}
	switch f {
	case OnCoilDead:
		j.moves[1][a] = -1
	case OffCoilDead:
		j.moves[0][a] = -1
	case ContactOpen:
		j.held[a] = false
	case ContactShut:
		j.held[a] = true
	case CoilsCrossed:
		j.to[0][a], j.to[1][a] = true, false
	case KnobsExchanged:
		swap(j.moves[0])
		swap(j.moves[1])
		return KnobFinding{f, two}
	case OnCoilsExchanged:
		swap(j.moves[1])
		return KnobFinding{f, two}
	case OffExchanged:
		swap(j.moves[0])
		return KnobFinding{f, two}
	}
	return KnobFinding{f, []int{a}}
}

var knobFaults = []KnobFault{OnCoilDead, OffCoilDead, ContactOpen, ContactShut, CoilsCrossed, KnobsExchanged, OnCoilsExchanged, OffExchanged}

func TestEverySingleFaultOfKnobsIsFoundAndNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 130).Draw(t, "knobs")
		p := NewKnobPlan(n, rapid.IntRange(0, 12).Draw(t, "group"))
		require.Empty(t, p.Decode(newJamb(n).run(p)), "knobs that are right")
		a := rapid.IntRange(0, n-1).Draw(t, "knob")
		for _, fault := range knobFaults {
			b := a
			if fault == KnobsExchanged || fault == OnCoilsExchanged || fault == OffExchanged {
				if n == 1 {
					continue
				}
				b = (a + rapid.IntRange(1, n-1).Draw(t, "other")) % n
			}
			j := newJamb(n)
			want := j.faultAt(fault, a, b)
			require.Equal(t, []KnobFinding{want}, p.Decode(j.run(p)))
		}
	})
}

// 2 * ceil(log2(N + 2)) rounds each way: a code for each knob, without all zeros
// and all ones, and the complements (Wagner 1987).
func TestRoundsAreThoseOfTheCountingSequenceAndItsComplement(t *testing.T) {
	for n := 1; n <= 300; n++ {
		require.Equal(t, 2*int(math.Ceil(math.Log2(float64(n+2)))), NewKnobPlan(n, 0).Rounds(), n)
	}
}

func TestNoMoreKnobsArePulsedAtOnceThanAsked(t *testing.T) {
	pulsed := 0
	for _, move := range NewKnobPlan(31, 8).Moves {
		for _, group := range move.Groups {
			require.True(t, move.Hand || len(group) <= 8)
			pulsed += len(group)
		}
	}
	require.Positive(t, pulsed)
}

func TestFaultsOfDifferentKnobsAreFoundTogether(t *testing.T) {
	p, j := NewKnobPlan(40, 8), newJamb(40)
	want := []KnobFinding{j.faultAt(OnCoilDead, 3, 3), j.faultAt(KnobsExchanged, 9, 17), j.faultAt(ContactOpen, 30, 30)}
	require.Equal(t, want, p.Decode(j.run(p)))
}
