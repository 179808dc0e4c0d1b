package change_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/change"
	"trundle/sim/wiring"
)

// A table of names of its own, of which one stop becomes another and the
// keyboard gets two keys more. What there is to write was worked out by hand.
func TestSwitchingIsToldInTheNamesOfTheTable(t *testing.T) {
	const text = `format: 1
keyboards:
  pedal: {kind: pedal, keys: C2..C3}
divisions:
  pedal: {keyboard: pedal, notes: C2..C3, chest: unit}
ranks:
  flute: {division: pedal, family: flute, feet: 8, pipes: 13}
stops:
  flute-8: {name: Flute, division: pedal, feet: 8, rank: flute}
`
	old := load(t, text)
	new := load(t, strings.NewReplacer("C2..C3", "C2..D3", "pipes: 13", "pipes: 15", "flute-8: {name: Flute", "gedackt-8: {name: Gedackt").Replace(text))
	path := filepath.Join(t.TempDir(), "relay.yaml")
	for name, data := range map[string]string{
		"relay.yaml":    "format: 1\nwiring: wiring.csv\nswitching: switching.csv\nboards:\n  K1: {kind: input, pins: 16}\n  S1: {kind: input, pins: 2}\n  X1: {kind: output, pins: 16}\n",
		"wiring.csv":    "board,pins,kind,item,notes\nK1,1..13,key,pedal,C2..C3\nS1,1,stop,flute-8,\nX1,1..13,valve,flute,1..13\n",
		"switching.csv": "kind,line,notes,control,board,pins,to,to-notes,picks\nread,touch,C2..C3,,K1,1..13,,,\nread,,,fl,S1,1,,,\ncouple,touch,C2..C3,,,,air,C2..C3,\ndrive,air,C2..C3,fl,X1,1..13,,,\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), name), []byte(data), 0o600))
	}
	r, found := wiring.Load(path, old)
	require.NotNil(t, r, "%v", found)
	var list []string
	for _, e := range change.Switching(old, new, r) {
		var b bytes.Buffer
		require.NoError(t, wiring.WriteSwitching(&b, r, []wiring.Switch{e.Switch}))
		list = append(list, string(e.Do)+" "+strings.Split(b.String(), "\n")[1])
	}
	require.Equal(t, []string{
		"remove read,,,fl,S1,1,,,",
		"remove drive,air,C2..C3,fl,X1,1..13,,,",
		"add read,touch,C#3..D3,,K1,14..15,,,",
		"add read,,,gedackt-8,S1,1,,,",
		"add couple,touch,C#3..D3,,,,air,C#3..D3,",
		"add drive,air,C2..D3,gedackt-8,X1,1..15,,,",
	}, list)
	require.Empty(t, change.Switching(old, old, r))
	r.Derived = true
	require.Empty(t, change.Switching(old, new, r))
}

// What is planned and was not soldered goes where it is planned, and nothing new
// goes there.
func TestWhatWasNotSolderedGoesOnItsPlannedPin(t *testing.T) {
	old := load(t, organ)
	new := load(t, strings.Replace(organ, "feet: 16, pipes: 44", "feet: 16, pipes: 46", 1))
	r := relay(t, old)
	at := slices.IndexFunc(r.Plan, func(row wiring.Row) bool { return row.Item == "bourdon" })
	r.Plan[at].Cells = nil // as if its notes were given
	r.Wired = slices.Clone(r.Plan)
	short := r.Plan[at]
	short.Pins, short.Items, short.Wires = short.Pins[2:], short.Items[2:], short.Wires[2:]
	r.Wired[at] = short
	require.Equal(t, []change.Job{
		{Do: change.Add, Board: "X3", Pins: []int{1, 2, 45, 46}, Kind: "valve", Item: "bourdon", Notes: []int{1, 2, 45, 46}, To: "bourdon"},
	}, change.Iron(old, new, r))
}
