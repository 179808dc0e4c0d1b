package certificate_test

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/certificate"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// requireSatisfied holds an assignment to a formula: every variable once, and
// in every clause a literal that is true.
func requireSatisfied(t *testing.T, formula, assignment string) map[int]bool {
	t.Helper()
	data, err := os.ReadFile(assignment)
	require.NoError(t, err)
	is := map[int]bool{}
	for line := range strings.Lines(string(data)) {
		values, ok := strings.CutPrefix(line, "v ")
		if !ok {
			require.Equal(t, "s SATISFIABLE\n", line)
			continue
		}
		for _, word := range strings.Fields(values) {
			n, err := strconv.Atoi(word)
			require.NoError(t, err)
			require.False(t, is[-n], "%d and its negation", n)
			is[n] = n != 0
		}
	}
	clauses := 0
	for c := range clausesIn(open(t, formula)) {
		require.True(t, slices.ContainsFunc(c.literals, func(l int) bool { return is[l] }), "clause %v", c.literals)
		clauses++
	}
	require.NotZero(t, clauses)
	return is
}

// A relay that lost the drive of its first row differs; the assignment
// satisfies its formula, and what index.json calls its variables is what the
// definitions say of the state.
func TestCounterexampleIsAnAssignmentThatSatisfiesItsFormula(t *testing.T) {
	in := gen.Instrument(4, gen.Tiny.WithCycle())
	relay := gen.Design(4, in, gen.Options{})
	at := slices.IndexFunc(relay.Switch, func(s wiring.Switch) bool { return s.Kind == wiring.Drive })
	relay.Switch = slices.Delete(relay.Switch, at, at+1)
	state := console.State{Drawn: slices.Repeat([]bool{true}, len(in.Controls))}
	for _, u := range in.UnisonOffs {
		state.Drawn[u.Control] = false
	}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			state.Held = append(state.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}})
		}
	}
	want, got := plain.Open(in, state), wiring.Run(relay, in, state).Open
	require.NotEqual(t, want, got)

	c, err := certificate.New(in, relay)
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "new", "folder")
	_, err = c.Write(dir, certificate.Claim{Verdict: "different", Counterexample: &state})
	require.NoError(t, err)
	index := readIndex(t, dir)
	is := requireSatisfied(t, filepath.Join(dir, index.Counterexample.File), filepath.Join(dir, index.Counterexample.Assignment))

	valve := map[string]int{}
	for _, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			valve[rank.ID+":"+strconv.Itoa(v)] = rank.Valve(v)
		}
	}
	listed := 0
	for _, f := range index.Formulas {
		listed += len(f.Outputs)
		if f.File != index.Counterexample.File {
			continue
		}
		for _, o := range f.Outputs {
			v := valve[o.Valve]
			require.Equal(t, want[v], is[int(o.Wanted)], o.Valve)
			require.Equal(t, got[v], is[int(o.Opened)], o.Valve)
			require.Equal(t, want[v] != got[v], is[int(o.Differs)], o.Valve)
		}
	}
	require.Equal(t, in.Valves, listed)
	for _, input := range index.Inputs {
		if input.Control != "" {
			i := slices.IndexFunc(in.Controls, func(c console.Control) bool { return c.ID == input.Control })
			require.Equal(t, state.Drawn[i], is[int(input.Variable)], input.Control)
		} else {
			require.Equal(t, !strings.HasSuffix(input.Key, ":2"), is[int(input.Variable)], input.Key)
		}
	}
}

// The same relay has the same certificate, digests and all, every time: also
// where a transfer exchanges keyboards.
func TestCertificatesAreTheSameEveryTime(t *testing.T) {
	transfers := 0
	for seed := range uint64(40) {
		in := gen.Minute(seed)
		if len(in.Transfers) == 0 {
			continue
		}
		transfers++
		relay := gen.Design(seed, in, gen.Options{})
		var first *certificate.Index
		for range 4 {
			c, err := certificate.New(in, relay)
			require.NoError(t, err)
			index, err := c.Write(filepath.Join(t.TempDir(), "new"), certificate.Claim{Verdict: "equal"})
			require.NoError(t, err)
			if first == nil {
				first = index
			}
			require.Equal(t, first, index, "seed %d", seed)
		}
	}
	require.Positive(t, transfers)
}

func TestWriteRefusesAFolderWithSomethingInIt(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	c, err := certificate.New(in, gen.Design(1, in, gen.Options{}))
	require.NoError(t, err)
	dir := t.TempDir()
	_, err = c.Write(dir, certificate.Claim{Verdict: "equal"})
	require.NoError(t, err)
	_, err = c.Write(dir, certificate.Claim{Verdict: "equal"})
	require.ErrorContains(t, err, "is not empty")
}

func TestACounterexampleThatIsNoneIsRefused(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	c, err := certificate.New(in, gen.Design(1, in, gen.Options{}))
	require.NoError(t, err)
	_, err = c.Write(t.TempDir(), certificate.Claim{Verdict: "different", Counterexample: &console.State{}})
	require.ErrorContains(t, err, "does not confirm")
}

// A row that picks the lowest note of a line which it feeds itself has no
// meaning that could be certified.
func TestARowThatPicksByItsOwnOutcomeIsRefused(t *testing.T) {
	in := gen.Instrument(1, gen.Tiny)
	relay := gen.Design(1, in, gen.Options{})
	relay.Switch = append(relay.Switch, wiring.Switch{Kind: wiring.Couple, Line: "a", Notes: []console.Note{60, 61}, To: "a", ToNotes: []console.Note{61, 60}, Picks: console.PicksLowest})
	_, err := certificate.New(in, relay)
	require.ErrorContains(t, err, "depends on its own outcome")
}

func TestTheCheckerFollowsProofsAndRefusesOthers(t *testing.T) {
	const formula = "p cnf 2 4\n1 2 0\n-1 2 0\n1 -2 0\n-1 -2 0\n"
	for name, c := range map[string]struct{ proof, err string }{
		"a whole proof":                     {"2 0\nd 1 2 0\n0\n", ""},
		"a proof without its end":           {"2 0\n", "ends after 1 steps"},
		"the end at once, which is too far": {"0\n", "step 1 does not follow: []"},
		"a clause taken away and needed":    {"d -1 2 0\n2 0\n0\n", "step 1 does not follow: [2]"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := checkProof(strings.NewReader(formula), strings.NewReader(c.proof))
			if c.err == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.err)
			}
		})
	}
	_, err := checkProof(strings.NewReader("p cnf 2 2\n1 2 0\n-1 2 0\n"), strings.NewReader("-2 0\n0\n"))
	require.ErrorContains(t, err, "step 1 does not follow", "the formula has a solution")
}
