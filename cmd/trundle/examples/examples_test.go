package examples_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"trundle/cmd/trundle/examples"
	"trundle/console"
	"trundle/console/finding"
)

// readExample reads a file of the examples, which may have no field that the
// test does not know.
func readExample(t *testing.T, file string, into any) {
	data, err := examples.FS.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, yaml.Load(data, into, yaml.WithKnownFields()), file)
}

// loadOrgan loads an instrument that has no error.
func loadOrgan(t *testing.T, file string) *console.Instrument {
	in, findings := console.Load(filepath.FromSlash(file))
	require.NotNil(t, in, "%v", findings)
	require.Zero(t, finding.Count(findings, finding.Error)+finding.Count(findings, finding.Warning), "%v", findings)
	return in
}

// stateOf is the state in which these keys, written great:C4,E4, are held and
// these controls drawn.
func stateOf(t *testing.T, in *console.Instrument, play, draw []string) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for _, text := range play {
		id, keys, _ := strings.Cut(text, ":")
		keyboard := slices.IndexFunc(in.Keyboards, func(k console.Keyboard) bool { return k.ID == id })
		require.NotEqual(t, -1, keyboard, "keyboard %s", id)
		for key := range strings.SplitSeq(keys, ",") {
			note, err := console.ParseNote(key)
			require.NoError(t, err)
			require.True(t, in.Keyboards[keyboard].Keys.Has(note), "%s has no key %s", id, key)
			s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: keyboard, Note: note}})
		}
	}
	for _, id := range draw {
		control := slices.IndexFunc(in.Controls, func(c console.Control) bool { return c.ID == id })
		require.NotEqual(t, -1, control, "control %s", id)
		s.Drawn[control] = true
	}
	return s
}

// valveNames is the set valves by rank and number, in the order of the instrument.
func valveNames(in *console.Instrument, valves []bool) []string {
	names := []string{}
	for _, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			if valves[rank.Valve(v)] {
				names = append(names, fmt.Sprintf("%s:%d", rank.ID, v))
			}
		}
	}
	return names
}
