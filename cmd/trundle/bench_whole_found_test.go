package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/fault"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// The viola hangs on a board of its own that one row of the table drives. Two of
// its wires exchanged, and two pins of that row, answer alike in every chord: told
// to write the wiring as it was found, that is what is written, and it is said so.
func TestTheWiringAsFoundIsWrittenThoughTheTableWouldDo(t *testing.T) {
	files := rightRelays(t)["new"]
	in, found := console.Load(files.organ)
	require.Empty(t, found)
	relay, found := wiring.Load(files.relay, in)
	require.Empty(t, found)
	made, err := fault.Find(relay, in, "pins-swapped:X4.13,X4.14")
	require.NoError(t, err)
	plan := probe.New(in, relay)
	answers := probe.Simulate(plan, made.Relay, in)

	to := filepath.Join(t.TempDir(), "wired.csv")
	var stderr bytes.Buffer
	cmd := &cobra.Command{}
	cmd.SetErr(&stderr)
	w := &wholeTest{in: in, relay: relay, plan: plan, want: probe.Simulate(plan, relay, in), flags: wholeFlags{asFound: &to}, cmd: cmd}
	w.heard = answers
	w.found, w.left = probe.Together(plan, relay, in, answers)
	var a wholeAnswer
	w.diagnose(&a)
	require.Greater(t, len(a.Mistakes), 1)
	require.NoError(t, w.writeAsFound(a))
	require.Contains(t, stderr.String(), "wired.csv has the wiring with pins-swapped: X4.13..14 exchanged; the table was taken for right, though ")

	text, err := os.ReadFile(to)
	require.NoError(t, err)
	require.Contains(t, string(text), "X4,1..12 14..13 15..73,valve,viola,1..73,")

	// One key and one stop show it, and nothing smaller can.
	require.Len(t, a.Smallest.Play, 1)
	require.Equal(t, []string{"swell-viola-8"}, a.Smallest.Draw)
	state := console.State{Held: []console.Held{{Key: console.Key{Keyboard: 1, Note: 48}}}, Drawn: make([]bool, len(in.Controls))}
	for c, control := range in.Controls {
		state.Drawn[c] = control.ID == "swell-viola-8"
	}
	require.Equal(t, playFlags(in, state), a.Smallest.Play)
	missing, extra := compareValves(plain.Open(in, state), wiring.Run(made.Relay, in, state).Open)
	require.Equal(t, valveNames(in, missing), a.Smallest.Missing)
	require.Equal(t, valveNames(in, extra), a.Smallest.Extra)
}
