package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// plugged is a small organ of two manuals whose relay reports the keys of one of
// them and no valves: the flute of the other hangs on X1. It has
// few keys, so that the test is short.
func plugged(t *testing.T) (dir string) {
	dir = t.TempDir()
	for name, text := range map[string]string{
		"organ.yaml": `format: 1
instrument: Plug
keyboards:
  upper: {kind: manual, keys: C4..F4}
  lower: {kind: manual, keys: C4..F4}
divisions:
  upper: {keyboard: upper, notes: C4..F4, chest: unit}
  lower: {keyboard: lower, notes: C4..F4, chest: unit}
ranks:
  reed: {division: upper, family: reed, feet: 8, from: C4, pipes: 6}
  flute: {division: lower, family: flute, feet: 8, from: C4, pipes: 6}
stops:
  reed-8: {division: upper, feet: 8, rank: reed}
  flute-8: {division: lower, feet: 8, rank: flute}
couplers:
  lower-to-upper: {division: lower, keyboard: upper}
midi:
  keys: {upper: {channel: 1, way: both}, lower: channel 2}
  controls: {stops: notes from 0 on channel 16, couplers: notes from 10 on channel 16}
`,
		"relay.yaml": `format: 1
boards:
  K1: {kind: input, pins: 6}
  K2: {kind: input, pins: 6}
  S1: {kind: input, pins: 3}
  X1: {kind: output, pins: 6}
  X2: {kind: output, pins: 6}
wiring: [wiring.csv]
switching: [switching.csv]
`,
		"wiring.csv": `board,pins,kind,item,notes,cable,wires
K1,1..6,key,upper,C4..F4,CK1,1..6
K2,1..6,key,lower,C4..F4,CK2,1..6
S1,1,stop,reed-8,,,
S1,2,stop,flute-8,,,
S1,3,coupler,lower-to-upper,,,
X1,1..6,valve,flute,1..6,CX1,1..6
X2,1..6,valve,reed,1..6,CX2,1..6
`,
		"switching.csv": `kind,line,notes,control,board,pins,to,to-notes,picks
read,upper,C4..F4,,K1,1..6,,,
read,lower,C4..F4,,K2,1..6,,,
read,,,reed-8,S1,1,,,
read,,,flute-8,S1,2,,,
read,,,lower-to-upper,S1,3,,,
couple,upper,C4..F4,lower-to-upper,,,lower,C4..F4,
drive,upper,C4..F4,reed-8,X2,1..6,,,
drive,lower,C4..F4,flute-8,X1,1..6,,,
`,
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return dir
}

// Two programs: a relay that reports keys is tried with a plug in. One passes that is
// right as far as the plug shows; mistakes are named that are before the plug, and
// one by which what leads through it works itself.
func TestAWholeRelayIsTriedThroughAPlug(t *testing.T) {
	dir := plugged(t)
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	ports := transports(t, dir)["a serial line"]
	for _, x := range []struct {
		loop, mistake string
		exit          int
		answers       []string
	}{
		{"X1:K1", "pins-swapped:X1.3,X1.4", exitGood, []string{`"verdict":"equal"`, `"mistakes":[],"leftover":[],"disturbed":[],"valves":[]`, `"what":"what is soldered at X1.1..6"`}}, // behind the plug
		{"CX1:K1", "pins-swapped:X1.3,X1.4", exitBad, []string{`{"class":"pins-swapped","where":"X1.3..4 exchanged","pins":["X1.3","X1.4"],"wiring":true,"part":1}`, `{"valve":"X1.3","item":"valve flute 3","letGo":false,`}},
		{"X1:K1", "literal-missing:switching.csv:7", exitBad, []string{`"class":"literal-missing"`, `"letGo":true,"opens":true,`}},
	} {
		stop := standInAt(t, dir, ports[0], "--loop", x.loop, "--fault", x.mistake, "--bounce", "1ms", "--debounce", "2ms")
		exit, stdout, stderr := steadily(t, func() []string {
			return []string{"bench", "--whole", filepath.Join(dir, "organ.yaml"), "--relay", filepath.Join(dir, "relay.yaml"), "--loop", x.loop, "--in", ports[1], "--out", ports[1],
				"--settle", "50ms", "--yes", "--format", "json"}
		})
		said := stop()
		require.Equal(t, x.exit, exit, "%s: %s%s%s", x.mistake, stdout, stderr, said)
		requireValid(t, "whole", stdout)
		for _, answer := range x.answers {
			require.Contains(t, stdout, answer, x.mistake)
		}
	}
}
