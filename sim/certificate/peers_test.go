package certificate_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/certificate"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Two SAT solvers answer the formulas: MiniSat 2.2 and CaDiCaL 1.5. A solver
// says SATISFIABLE by exit code 10 and UNSATISFIABLE by 20.
var solvers = map[string][]string{"minisat": {"-verb=0"}, "cadical": {"-q", "-n"}}

// needPeers skips a test whose programs are missing, unless they are required.
func needPeers(t *testing.T, programs ...string) {
	for _, program := range programs {
		if _, err := exec.LookPath(program); err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
			t.Skipf("%s is not installed; with TRUNDLE_PEERS=1 it must be", program)
		} else {
			require.NoError(t, err)
		}
	}
}

// satisfiable asks a solver about a formula.
func satisfiable(t *testing.T, solver, file string) bool {
	t.Helper()
	cmd := exec.Command(solver, append(solvers[solver], file)...)
	out, _ := cmd.CombinedOutput()
	code := cmd.ProcessState.ExitCode()
	require.Contains(t, []int{10, 20}, code, "%s %s: %s", solver, file, out)
	return code == 10
}

// certified proves a relay, writes the certificate and has every solver answer
// every formula: one of them can be satisfied exactly when the proof found a
// difference.
func certified(t *testing.T, in *console.Instrument, relay *wiring.Relay) (dir string, verdict proof.Verdict) {
	t.Helper()
	result := proof.Prove(in, relay)
	claim := certificate.Claim{Verdict: string(result.Verdict)}
	if result.Counterexample != nil {
		claim.Counterexample = &result.Counterexample.State
	}
	c, err := certificate.New(in, relay)
	require.NoError(t, err)
	dir = filepath.Join(t.TempDir(), "certificate")
	index, err := c.Write(dir, claim)
	require.NoError(t, err)
	require.LessOrEqual(t, len(index.Formulas), certificate.MaxFormulas)
	for solver := range solvers {
		differ := false
		for _, f := range index.Formulas {
			differ = satisfiable(t, solver, filepath.Join(dir, f.File)) || differ
		}
		require.Equal(t, result.Verdict == proof.Different, differ, "%s against a proof that says %s", solver, result.Verdict)
	}
	if index.Counterexample != nil {
		requireSatisfied(t, filepath.Join(dir, index.Counterexample.File), filepath.Join(dir, index.Counterexample.Assignment))
	}
	require.Equal(t, result.Verdict == proof.Different, index.Counterexample != nil)
	return dir, result.Verdict
}

func TestSolversAgreeOnGeneratedRelays(t *testing.T) {
	needPeers(t, "minisat", "cadical")
	count := map[proof.Verdict]int{}
	for seed := range uint64(100) {
		size := gen.Tiny
		if seed%10 == 9 {
			size = gen.Small
		}
		if seed%4 == 0 {
			size = size.WithCycle()
		}
		in := gen.Instrument(seed, size)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		if seed%2 == 1 {
			relay = gen.AnyFault(seed, relay, in).Relay
		}
		_, verdict := certified(t, in, relay)
		if seed%2 == 0 {
			require.Equal(t, proof.Equal, verdict, "seed %d", seed)
		}
		count[verdict]++
	}
	require.Equal(t, 100, count[proof.Equal]+count[proof.Different])
	require.GreaterOrEqual(t, count[proof.Different], 25, "most faults cannot be heard")
	t.Log(count)
}

const examples = "../../cmd/trundle/examples"

func example(t *testing.T, relay string) (*console.Instrument, *wiring.Relay) {
	in, found := console.Load(filepath.Join(examples, "saltmarsh", "organ.yaml"))
	require.NotNil(t, in, found)
	r, found := wiring.Load(filepath.Join(examples, relay, "relay.yaml"), in)
	require.NotNil(t, r, found)
	return in, r
}

func TestSolversAgreeOnTheBadDemo(t *testing.T) {
	needPeers(t, "minisat", "cadical")
	in, relay := example(t, "saltmarsh-bad")
	_, verdict := certified(t, in, relay)
	require.Equal(t, proof.Different, verdict)
}

// What the solver says of the clean demo is not only asked for but followed
// step by step.
func TestSolversAgreeOnTheCleanDemoAndTheirProofHolds(t *testing.T) {
	needPeers(t, "minisat", "cadical")
	in, relay := example(t, "saltmarsh")
	dir, verdict := certified(t, in, relay)
	require.Equal(t, proof.Equal, verdict)
	index, all := readIndex(t, dir), 0
	for _, f := range index.Formulas {
		formula := filepath.Join(dir, f.File)
		steps := formula + ".drat"
		_, err := exec.Command("cadical", "-q", "--no-binary", formula, steps).Output()
		require.Equal(t, "exit status 20", err.Error())
		n, err := checkProof(open(t, formula), open(t, steps))
		require.NoError(t, err, f.File)
		all += n
	}
	t.Logf("%d steps of the proofs of %d formulas", all, len(index.Formulas))
}

func open(t *testing.T, name string) *os.File {
	file, err := os.Open(name)
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	return file
}

// A very large organ: written in under 10 seconds, and small enough for a
// solver to confirm.
func TestMinisatConfirmsALargeRelay(t *testing.T) {
	needPeers(t, "minisat")
	in := gen.Instrument(1, gen.Large)
	begun := time.Now()
	c, err := certificate.New(in, gen.Design(1, in, gen.AnyOptions(5)))
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "certificate")
	index, err := c.Write(dir, certificate.Claim{Verdict: "equal"})
	require.NoError(t, err)
	written := time.Since(begun)
	require.Less(t, written, 10*time.Second)
	for _, f := range index.Formulas {
		require.False(t, satisfiable(t, "minisat", filepath.Join(dir, f.File)), f.File)
	}
	t.Logf("%d valves in %d formulas, written in %v, confirmed in %v", in.Valves, len(index.Formulas), written, time.Since(begun)-written)
}

func readIndex(t *testing.T, dir string) certificate.Index {
	var index certificate.Index
	data, err := os.ReadFile(filepath.Join(dir, certificate.IndexFile))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &index))
	return index
}
