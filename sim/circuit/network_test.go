package circuit

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// spice is what ngspice says of the voltages of all nodes but the ground.
func spice(t testing.TB, n Network) []float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	if err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("ngspice is not installed; with TRUNDLE_PEERS=1 it must be")
	}
	require.NoError(t, err)
	var b strings.Builder
	b.WriteString("* from a test\n.options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-18\n")
	for i, branch := range n.Branches {
		from := fmt.Sprint("n", branch.From)
		if branch.Volts != 0 {
			from = fmt.Sprint("a", i)
			fmt.Fprintf(&b, "V%d a%d n%d %.17g\n", i, i, branch.From, branch.Volts)
		}
		fmt.Fprintf(&b, "R%d %s n%d %.17g\n", i, from, branch.To, branch.Ohms)
	}
	file := filepath.Join(t.TempDir(), "circuit.cir")
	text := strings.ReplaceAll(b.String(), " n0 ", " 0 ")
	text += ".control\nset numdgt=12\nop\nprint all\nquit 0\n.endc\n.end\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	out, err := exec.Command(program, "-b", file).CombinedOutput()
	require.NoError(t, err, "%.2000s", out)
	volts := make([]float64, n.Nodes)
	seen := 1
	for line := range strings.Lines(string(out)) {
		name, value, found := strings.Cut(strings.TrimSpace(line), " = ")
		node, err := strconv.Atoi(strings.TrimPrefix(name, "n"))
		if !found || err != nil {
			continue
		}
		volts[node], err = strconv.ParseFloat(value, 64)
		require.NoError(t, err)
		seen++
	}
	require.Equal(t, n.Nodes, seen)
	return volts
}

// anyNetwork is a relay's network: supplies, boards at the end of feeds, and
// magnets behind wires of their own between a board and a return; returns run
// into each other, some by two ways.
func anyNetwork(seed uint64, magnets int) Network {
	r := rand.New(rand.NewPCG(seed, 9))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	n := Network{Nodes: 1}
	var plus []int
	for range 1 + r.IntN(2) {
		node := n.add()
		n.join(0, node, between(0.01, 0.1), between(10, 28))
		plus = append(plus, node)
	}
	boards := make([]int, 1+magnets/40)
	for i := range boards {
		boards[i] = n.add()
		n.join(plus[r.IntN(len(plus))], boards[i], between(0.001, 0.3), 0)
	}
	backs := make([]int, 1+r.IntN(1+magnets/30))
	for i := range backs {
		backs[i] = n.add()
		home := 0
		if i > 0 && r.IntN(2) == 0 {
			home = backs[r.IntN(i)]
		}
		n.join(backs[i], home, between(0.01, 1), 0)
		if r.IntN(5) == 0 {
			n.join(backs[i], 0, between(0.01, 1), 0)
		}
	}
	for range magnets {
		pin := n.add()
		n.join(boards[r.IntN(len(boards))], pin, between(0.1, 6), -between(0.4, 1.1))
		n.join(pin, backs[r.IntN(len(backs))], between(30, 300), 0)
	}
	return n
}

// The voltage of every node of 200 networks, within a hundredth of a percent.
func TestVoltagesAgreeWithNgspice(t *testing.T) {
	compared := 0
	for seed := range uint64(200) {
		n := anyNetwork(seed, 2+int(seed)%97)
		got := n.solved(t)
		for i, want := range spice(t, n) {
			require.InDelta(t, want, got[i], 1e-4*max(0.001, abs(want)), "seed %d, node %d", seed, i)
			compared++
		}
	}
	require.Greater(t, compared, 5000)
}

func abs(v float64) float64 { return max(v, -v) }

// solved also holds the answer to Kirchhoff's law at every node.
func (n Network) solved(t *testing.T) []float64 {
	t.Helper()
	volts := n.Solve()
	into := make([]float64, n.Nodes)
	for i, amps := range n.Amps(volts) {
		into[n.Branches[i].From] -= amps
		into[n.Branches[i].To] += amps
	}
	for node, amps := range into {
		require.InDelta(t, 0, amps, 1e-6, "node %d", node)
	}
	return volts
}

// Ten thousand magnets in one run: at least 50 times as fast as ngspice, whose
// time counts from start to end, for it can be asked in no other way.
func TestTenThousandMagnetsAreSolvedFiftyTimesAsFastAsByNgspice(t *testing.T) {
	n := anyNetwork(1, 10_000)
	start := time.Now()
	want := spice(t, n)
	theirs := time.Since(start)
	fastest := theirs
	var got []float64
	for range 5 {
		start = time.Now()
		got = n.Solve()
		fastest = min(fastest, time.Since(start))
	}
	for i := range want {
		require.InDelta(t, want[i], got[i], 1e-4*max(0.001, abs(want[i])))
	}
	t.Logf("ngspice %v, ours %v: %.0f times as fast", theirs, fastest, float64(theirs)/float64(fastest))
	require.Greater(t, float64(theirs)/float64(fastest), 50.0)
}

func TestANodeThatHangsInTheAirHasNoVoltage(t *testing.T) {
	n := Network{Nodes: 4}
	n.join(0, 1, 2, 10)
	n.join(1, 0, 3, 0)
	n.join(2, 3, 1, 5)
	require.InDelta(t, 6, n.Solve()[1], 1e-12) // 10 V over 2 and 3 ohms
	for _, v := range (&Network{Nodes: 3}).Solve() {
		require.Zero(t, v)
	}
}

func BenchmarkSolveTenThousandMagnets(b *testing.B) {
	n := anyNetwork(1, 10_000)
	for b.Loop() {
		n.Solve()
	}
}
