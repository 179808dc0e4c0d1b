package examples_test

import (
	"io/fs"
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/cmd/trundle/examples"
	"trundle/console"
	"trundle/console/plain"
)

// caseFile is a cases.yaml: what must sound, worked out by hand.
type caseFile struct {
	Format     int
	Instrument string // relative to the file
	Cases      []soundCase
}

type soundCase struct {
	Name      string
	Play      []string // keys held: great:C4,E4
	Draw      []string // controls drawn
	Crescendo int      // stage
	Tutti     bool
	Valves    []string // all that open
	Silent    []string // those of them without wind
	Pipes     int      // that stand on Valves, 0 where the case does not say
	Why       string
}

func (c soundCase) state(t *testing.T, in *console.Instrument) console.State {
	s := stateOf(t, in, c.Play, c.Draw)
	s.Stage, s.Tutti = c.Crescendo, c.Tutti
	return s
}

// eachCaseFile runs f on the cases of every example, with its instrument.
func eachCaseFile(t *testing.T, f func(t *testing.T, in *console.Instrument, cases []soundCase)) (files int) {
	found, err := fs.Glob(examples.FS, "*/cases.yaml")
	require.NoError(t, err)
	for _, file := range found {
		t.Run(path.Dir(file), func(t *testing.T) {
			var of caseFile
			readExample(t, file, &of)
			require.Equal(t, 1, of.Format)
			f(t, loadOrgan(t, path.Join(path.Dir(file), of.Instrument)), of.Cases)
		})
	}
	return len(found)
}

func TestEveryCaseSoundsAsWorkedOutByHand(t *testing.T) {
	seen := 0
	files := eachCaseFile(t, func(t *testing.T, in *console.Instrument, cases []soundCase) {
		fast := console.NewSounding(in)
		for _, c := range cases {
			seen++
			t.Run(c.Name, func(t *testing.T) {
				require.NotEmpty(t, c.Why)
				s := c.state(t, in)
				open := plain.Open(in, s)
				require.ElementsMatch(t, c.Valves, valveNames(in, open), c.Why)
				require.ElementsMatch(t, c.Silent, valveNames(in, without(open, plain.Speaks(in, s))), c.Why)
				if c.Pipes > 0 {
					require.Equal(t, c.Pipes, pipes(in, open), c.Why)
				}

				fast.Set(s)
				for v := range in.Valves {
					require.Equal(t, open[v], fast.Open(v))
				}
			})
		}
	})
	require.Equal(t, 3, files)
	require.Equal(t, 66, seen)
}

// without is what is in a and not in b.
func without(a, b []bool) []bool {
	left := make([]bool, len(a))
	for i := range a {
		left[i] = a[i] && !b[i]
	}
	return left
}

// pipes counts the pipes on open valves: one a valve, or one a row.
func pipes(in *console.Instrument, open []bool) int {
	n := 0
	for _, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			if !open[rank.Valve(v)] {
				continue
			}
			rows := 1
			for _, b := range rank.Breaks {
				if b.From <= rank.Note(v) {
					rows = len(b.Rows)
				}
			}
			n += rows
		}
	}
	return n
}
