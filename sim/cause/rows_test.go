package cause

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

const twoRanks = `format: 1
keyboards: {manual: {kind: manual, keys: C4..E4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit}}
ranks:
  flute: {division: manual, feet: 8, from: C4, pipes: 5}
  oboe: {division: manual, feet: 8, from: C4, pipes: 5}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  oboe-8: {division: manual, feet: 8, rank: oboe}
`

// Joins may be written from a strip to a board. Whoever has exchanged the plugs of two
// boards has exchanged what stands behind "to" then.
func TestPlugsOfBoardsAreExchangedAtEitherEndOfAJoin(t *testing.T) {
	const wired = "board,pins,kind,item,notes\n" +
		"K1,1..5,key,manual,C4..E4\nS1,1,stop,flute-8,\nS1,2,stop,oboe-8,\nT1,1..5,valve,flute,1..5\nT2,1..5,valve,oboe,1..5\n"
	const switching = "kind,line,notes,control,board,pins\n" +
		"read,manual,C4..E4,,K1,1..5\nread,,,flute-8,S1,1\nread,,,oboe-8,S1,2\ndrive,manual,C4..E4,flute-8,X1,1..5\ndrive,manual,C4..E4,oboe-8,X2,1..5\n"
	for name, joins := range map[string]string{
		"from the boards": "X1,1..5,T2,1..5\nX2,1..5,T1,1..5\n",
		"from the strips": "T2,1..5,X1,1..5\nT1,1..5,X2,1..5\n",
	} {
		in, r := readRows(t, map[string]string{"wiring.csv": wired, "switching.csv": switching, "joins.csv": "from,pins,to,pins\n" + joins,
			"sections": "joins: [joins.csv]\nswitching: [switching.csv]\n"})
		found := Find(in, r, proof.Differing(in, r))
		require.Empty(t, found.Unexplained, name)
		require.Len(t, found.Causes, 1, name)
		require.NotEmpty(t, found.Causes[0].Cure, name)
		require.Equal(t, proof.Equal, proof.Prove(in, found.Causes[0].Cured).Verdict, name)
	}
}

// A row may have fewer notes than pins. It is taken out as it stands, and what is
// written beside it makes the relay right.
func TestARowOfUnequalRangesIsMended(t *testing.T) {
	const plan = "board,pins,kind,item,notes,cable,wires,group\n" +
		"K1,1..5,key,manual,C4..E4,,,\nS1,1,stop,flute-8,,,,\nS1,2,stop,oboe-8,,,,\nX1,1..5,valve,flute,1..5,,,\nX2,1..5,valve,oboe,1..5,,,\n"
	wired := strings.Replace(plan, "K1,1..5,key,manual,C4..E4,", "K1,1..3,key,manual,D4,,,\nK1,4..5,key,manual,D#4 E4,", 1)
	in, r := readRows(t, map[string]string{"wiring.csv": plan, "wired.csv": wired, "sections": "wired: [wired.csv]\nswitching: derived\n"})
	found := Find(in, r, proof.Differing(in, r))
	require.Empty(t, found.Unexplained)
	require.NotEmpty(t, found.Causes)
	for _, c := range found.Causes {
		write(t, c.Cure)
	}
	cured, broken := wiring.Load(r.File, in)
	require.NotNil(t, cured, "%v", broken)
	require.Equal(t, proof.Equal, proof.Prove(in, cured).Verdict)
}

// readRows reads a relay of some tables, and of more sections.
func readRows(t *testing.T, files map[string]string) (*console.Instrument, *wiring.Relay) {
	dir := t.TempDir()
	files["organ.yaml"] = twoRanks
	files["relay.yaml"] = `format: 1
boards:
  K1: {kind: input, pins: 5}
  S1: {kind: input, pins: 2}
  X1: {kind: output, pins: 5}
  X2: {kind: output, pins: 5}
strips: {T1: {pins: 5}, T2: {pins: 5}}
wiring: [wiring.csv]
` + files["sections"]
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	in, found := console.Load(filepath.Join(dir, "organ.yaml"))
	require.NotNil(t, in, "%v", found)
	r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, r, "%v", found)
	return in, r
}
