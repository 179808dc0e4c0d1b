package logic_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/sim/logic"
)

// drawNetwork makes a network whose nodes may stand in cycles through All and
// name only earlier nodes in None, so that it has a meaning.
func drawNetwork(t *rapid.T, vars, nodes int) *logic.Network {
	w := logic.New(vars)
	for range nodes {
		w.Add()
	}
	blocks := rapid.IntRange(1, 4).Draw(t, "blocks") // nodes of one block may stand in a cycle
	block := func(n int) int { return (n - vars) * blocks / nodes }
	for n := vars; n < w.Len(); n++ {
		upTo := n
		for upTo+1 < w.Len() && block(upTo+1) == block(n) {
			upTo++
		}
		below := vars
		for below < n && block(below) < block(n) {
			below++
		}
		for range rapid.IntRange(0, 3).Draw(t, "terms") {
			all := rapid.SliceOfN(rapid.IntRange(0, upTo), 0, 3).Draw(t, "all")
			none := rapid.SliceOfN(rapid.IntRange(0, below-1), 0, 2).Draw(t, "none")
			w.Or(logic.Node(n), toNodes(all), toNodes(none))
		}
	}
	return w
}

func toNodes(of []int) []logic.Node {
	var nodes []logic.Node
	for _, n := range of {
		nodes = append(nodes, logic.Node(n))
	}
	return nodes
}

// solve is the meaning of a network written as it reads: level by level the
// least solution, by going round until nothing changes.
func solve(w *logic.Network, levels []int32, state uint) []bool {
	value := make([]bool, w.Len())
	for n := range w.Vars {
		value[n] = state>>n&1 == 1
	}
	for level := range slices.Max(append(levels, 0)) + 1 {
		for changed := true; changed; {
			changed = false
			for n := w.Vars; n < w.Len(); n++ {
				if levels[n] != level || value[n] {
					continue
				}
				for _, term := range w.Terms(logic.Node(n)) {
					holds := true
					for _, m := range term.All {
						holds = holds && value[m]
					}
					for _, m := range term.None {
						holds = holds && !value[m]
					}
					if holds {
						value[n], changed = true, true
					}
				}
			}
		}
	}
	return value
}

func stateNodes(state uint, vars int) []logic.Node {
	nodes := []logic.Node{}
	for n := range vars {
		if state>>n&1 == 1 {
			nodes = append(nodes, logic.Node(n))
		}
	}
	return nodes
}

// Every part against all states of small networks: simplifying keeps every
// node's meaning, one class means one function, the evaluator agrees, and the
// decider's answer and smallest state are those of the truth table.
func TestNetworkAgainstItsTruthTable(t *testing.T) {
	verdicts := map[logic.Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		const vars = 5
		w := drawNetwork(t, vars, rapid.IntRange(2, 12).Draw(t, "nodes"))
		levels, loop := w.Levels()
		require.Empty(t, loop)
		simple := w.Simplify(nil)
		simpleLevels, loop := simple.Levels()
		require.Empty(t, loop)
		class := simple.Classes(nil)
		eval := logic.NewEvaluator(simple, simpleLevels)

		table := make([][]bool, 1<<vars)
		for state := range table {
			table[state] = solve(w, levels, uint(state))
			require.Equal(t, table[state], solve(simple, simpleLevels, uint(state)), "simplified, state %b", state)
			eval.Set(stateNodes(uint(state), vars))
			for n := range w.Len() {
				require.Equal(t, table[state][n], eval.Value(logic.Node(n)), "node %d in state %b", n, state)
			}
		}
		minor := rapid.IntRange(0, vars).Draw(t, "minor")
		decider := logic.NewDecider(simple, class, eval, minor)
		for f := range logic.Node(w.Len()) {
			for g := range f {
				var smallest []logic.Node
				for state := range table {
					if table[state][f] != table[state][g] {
						nodes := stateNodes(uint(state), vars)
						if smallest == nil || decider.Compare(nodes, smallest) < 0 {
							smallest = nodes
						}
					}
				}
				if class[f] == class[g] {
					require.Nil(t, smallest, "nodes %d and %d have one class", f, g)
				}
				most := rapid.IntRange(0, vars).Draw(t, "most")
				any, roughly := decider.Differ(f, g, most)
				state, verdict := decider.Differ(f, g, vars)
				verdicts[verdict]++
				if verdict == logic.Undecided {
					continue
				}
				require.Equal(t, smallest != nil, verdict == logic.Different, "nodes %d and %d", f, g)
				require.Equal(t, smallest, state)
				require.Equal(t, verdict, roughly)
				if verdict == logic.Different {
					if len(smallest) <= most {
						require.Equal(t, smallest, any, "nodes %d and %d, at most %d", f, g, most)
					}
					eval.Set(any)
					require.NotEqual(t, eval.Value(f), eval.Value(g))
				}
			}
		}
	})
	require.Positive(t, verdicts[logic.Equal])
	require.Positive(t, verdicts[logic.Different])
	require.Less(t, verdicts[logic.Undecided]*1000, verdicts[logic.Equal]+verdicts[logic.Different], "the search gives up too often")
}

// A node that depends on its own absence has no meaning, and is named.
func TestLevelsNameALoopThroughNone(t *testing.T) {
	w := logic.New(1)
	a, b := w.Add(), w.Add()
	w.Or(a, nil, []logic.Node{b})
	w.Or(b, []logic.Node{a, 0}, nil)
	levels, loop := w.Levels()
	require.Nil(t, levels)
	require.ElementsMatch(t, []logic.Node{a, b}, loop)
}

// Nodes that are only each other are never true, and looking through them ends.
func TestARingOfNodesThatAreOnlyEachOther(t *testing.T) {
	w := logic.New(1)
	a, b := w.Add(), w.Add()
	w.Or(a, []logic.Node{b}, nil)
	w.Or(b, []logic.Node{a}, nil)
	require.Contains(t, []logic.Node{a, b}, w.Is(a))
	class := w.Classes(nil)
	require.NotEqual(t, class[0], class[a])
	require.Empty(t, w.Simplify(nil).Terms(a))
}
