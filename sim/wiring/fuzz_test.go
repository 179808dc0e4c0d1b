package wiring_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

// FuzzWiring puts any text in the place of the bench's wiring.
func FuzzWiring(f *testing.F) {
	f.Add(read(f, "wiring.csv"))
	f.Add("board;pins;kind;item;notes;cable;wires;group\nX1;1..8;note;echo/great;G4..C4;T1;1..8/1;a\n")
	f.Add("item\tkind\tpins\tboard\n\"gamba/choir\"\taction-on\t1 1\tX2\nstop\tcommon\t99999\tK1\n")
	f.Add("board,pins,kind,item,notes\nJ1,1..10,valve,flute,1..10\nX3,1,lamp,general-1,\nX3,2,shade,choir-box,\nS1,1,stage,crescendo,2\n")
	f.Fuzz(loading(f, "wiring.csv"))
}

// FuzzSwitching puts any text in the place of the bench's switching table.
func FuzzSwitching(f *testing.F) {
	f.Add(read(f, "switching.csv"))
	f.Add("kind,line,notes,control,board,pins,to,to-notes,picks\ncouple,a,C4..D4,x&!y,,,b,D4..C4,highest\ncouple,b,C4,,,,a,C4,lowest\nread,a,C4,,K1,99,,,\n")
	f.Add("kind;line;notes;control;board;pins\ndrive;;;!x;X1;1..99\ndrive;a;C-1..G9;;X3;1\nread;;;x;X1;1\n")
	f.Fuzz(loading(f, "switching.csv"))
}

func read(f *testing.F, name string) string {
	data, err := os.ReadFile(filepath.Join("testdata/bench", name))
	require.NoError(f, err)
	return string(data)
}

// loading loads the bench with one file replaced: nothing is given or all is,
// and what is given can be checked, run, derived and run again.
func loading(f *testing.F, name string) func(*testing.T, string) {
	dir := f.TempDir()
	for _, file := range []string{"organ.yaml", "relay.yaml", "wiring.csv", "switching.csv", "joins.csv"} {
		require.NoError(f, os.WriteFile(filepath.Join(dir, file), []byte(read(f, file)), 0o600))
	}
	in, _ := console.Load(filepath.Join(dir, "organ.yaml"))
	require.NotNil(f, in)
	every := console.State{Drawn: make([]bool, len(in.Controls))}
	for c := range every.Drawn {
		every.Drawn[c] = true
	}
	every.Held = []console.Held{{Key: console.Key{Keyboard: 0, Note: 60}, Deep: true}, {Key: console.Key{Keyboard: 2, Note: 62}}}

	return func(t *testing.T, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
		r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
		if r == nil {
			require.NotEmpty(t, found)
			return
		}
		for _, one := range append(found, wiring.Check(r, in)...) {
			require.NotEmpty(t, one.File)
			require.NotEmpty(t, one.Message)
			require.NotContains(t, one.Message, "\n")
		}
		wiring.Run(r, in, every)
		r.Switch = wiring.Derive(r, in)
		wiring.Run(r, in, every)
	}
}
