package starter_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/starter"
	"trundle/sim/wiring"
)

func TestTheStarterChecksClean(t *testing.T) {
	in, found := console.Parse("organ.yaml", starter.Instrument)
	require.Empty(t, found)
	require.Empty(t, in.Check())
}

// The relay of any instrument reads without a finding, and is proven to play
// what console says should sound.
func TestTheRelayOfAnInstrumentPlaysIt(t *testing.T) {
	in, _ := console.Parse("organ.yaml", starter.Instrument)
	require.Equal(t, proof.Equal, verdict(t, in), "the starter's own")
	played := 0
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Small)
		if proof.Prove(in, gen.Design(seed, in, gen.Options{})).Verdict != proof.Equal {
			continue // its chests cannot do what it asks
		}
		require.Equal(t, proof.Equal, verdict(t, in), "seed %d", seed)
		played++
	}
	require.Greater(t, played, 30)
}

// verdict is the proof's on the relay of an instrument, read from its files.
func verdict(t *testing.T, in *console.Instrument) proof.Verdict {
	dir := t.TempDir()
	for _, file := range starter.Relay(in, "organ.yaml") {
		require.NoError(t, os.WriteFile(filepath.Join(dir, file.Name), file.Data, 0o644))
	}
	in.File = filepath.Join(dir, "organ.yaml")
	relay, found := wiring.Load(filepath.Join(dir, starter.RelayFile), in)
	require.Empty(t, messages(found))
	require.Empty(t, messages(wiring.Check(relay, in)))
	return proof.Prove(in, relay).Verdict
}

func messages(found []finding.Finding) (list []string) {
	for _, f := range found {
		list = append(list, f.Rule+": "+f.Message)
	}
	return list
}
