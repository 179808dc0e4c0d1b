package certificate

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The gates of equations, in circles or not, are their least solution: what
// there is when they are applied again and again, beginning with nothing.
func TestEquationsHaveTheirLeastSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const inputs = 5
		c := &circuit{}
		for range 1 + inputs {
			c.input()
		}
		c.forget()
		anyInput := rapid.Custom(func(t *rapid.T) lit {
			return lit(rapid.IntRange(2, 1+inputs).Draw(t, "input")) * rapid.SampledFrom([]lit{1, -1}).Draw(t, "sign")
		})
		nodes := rapid.IntRange(1, 7).Draw(t, "nodes")
		e := newEquations(nodes)
		for n := range nodes {
			e.base[n] = rapid.OneOf(rapid.Just(no), anyInput).Draw(t, "base")
			for range rapid.IntRange(0, 3).Draw(t, "terms") {
				e.add(n, term{when: rapid.OneOf(rapid.Just(yes), anyInput).Draw(t, "when"), from: rapid.IntRange(0, nodes-1).Draw(t, "from")})
			}
		}
		solved := e.solve(c, e.groups())
		for state := range 1 << inputs {
			on := map[lit]bool{}
			for i := range inputs {
				on[lit(i+2)] = state>>i&1 == 1
			}
			value := c.values(on)
			least := make([]bool, nodes)
			for range nodes {
				for n := range nodes {
					least[n] = least[n] || holds(value, e.base[n]) ||
						slices.ContainsFunc(e.terms[n], func(t term) bool { return holds(value, t.when) && least[t.from] })
				}
			}
			for n := range nodes {
				require.Equal(t, least[n], holds(value, solved[n]), "node %d in state %b", n, state)
			}
		}
	})
}

func TestGroupsStandBehindWhatTheyDependOn(t *testing.T) {
	e := newEquations(4)
	e.add(0, term{when: yes, from: 1})
	e.add(1, term{when: yes, from: 2})
	e.add(2, term{when: yes, from: 1})
	e.add(2, term{when: yes, from: 3})
	require.Equal(t, [][]int{{3}, {1, 2}, {0}}, e.groups())
}
