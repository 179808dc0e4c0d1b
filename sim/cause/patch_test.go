package cause

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// The rows that a cause says to write are written into the files, as a person
// would; the relay they then describe is proven to play the instrument.
func TestWritingTheRowsOfTheCausesCuresTheRelay(t *testing.T) {
	cured := 0
	for seed := range uint64(54) {
		in := gen.Instrument(seed, gen.Tiny)
		clean := gen.Design(seed, in, gen.AnyOptions(seed))
		fault, ok := gen.Plant(seed, clean, in, gen.Classes[int(seed)%len(gen.Classes)])
		if !ok {
			continue
		}
		dir := t.TempDir()
		require.NoError(t, gen.FilesOf(fault.Relay, in).Write(dir))
		in, _ = console.Load(filepath.Join(dir, gen.InstrumentFile))
		relay, _ := wiring.Load(filepath.Join(dir, gen.RelayFile), in)
		if relay == nil { // a table without its only row has no meaning
			continue
		}
		result := proof.Prove(in, relay)
		found := Find(in, relay, result.Differing)
		if result.Verdict != proof.Different || len(found.Unexplained) > 0 {
			continue
		}
		for _, c := range found.Causes {
			write(t, c.Cure)
		}
		relay, broken := wiring.Load(filepath.Join(dir, gen.RelayFile), in)
		require.NotNil(t, relay, "%d %s: %v", seed, fault.Description, broken)
		require.Equal(t, proof.Equal, proof.Prove(in, relay).Verdict, "%d %s: %s", seed, fault.Class, fault.Description)
		cured++
	}
	require.Greater(t, cured, 25)
}

// write replaces rows of files by others. Rows that are taken out leave a line
// behind, so that the places of others stay what they are.
func write(t *testing.T, edits []Edit) {
	for _, e := range edits {
		text, err := os.ReadFile(e.At.File)
		require.NoError(t, err)
		lines := strings.Split(strings.TrimRight(string(text), "\n"), "\n")
		fresh := e.New
		if e.Old != "" {
			require.Equal(t, e.Old, lines[e.At.Line-1], "%s:%d", e.At.File, e.At.Line)
			if lines[e.At.Line-1] = "#"; len(fresh) > 0 {
				lines[e.At.Line-1], fresh = fresh[0], fresh[1:]
			}
		}
		lines = slices.Concat(lines, fresh)
		require.NoError(t, os.WriteFile(e.At.File, []byte(strings.Join(lines, "\n")+"\n"), 0o644))
	}
}
