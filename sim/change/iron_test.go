package change_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/change"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

const relayFile = `format: 1
wiring: wiring.csv
boards:
  K1: {kind: input, pins: 64}
  K2: {kind: input, pins: 61}
  K3: {kind: input, pins: 32}
  S1: {kind: input, pins: 10}
  X1: {kind: output, pins: 73}
  X2: {kind: output, pins: 73}
  X3: {kind: output, pins: 60}
`

const wiringRows = `board,pins,kind,item,notes,cable,wires,group
K1,1..61,key,great,,CK1,1..61,
K2,1..61,key,choir,,,,
K3,1..32,key,pedal,,,,
S1,1,stop,great-principal-8,,CS1,1,
S1,2,stop,choir-flute-8,,CS1,2,
S1,3,stop,pedal-subbass-16,,,,
S1,4,coupler,choir-to-great-8,,,,
S1,5,coupler,great-to-pedal-8,,,,
S1,6,coupler,choir-octave,,,,
S1,7,control,choir-unison-off,,,,
S1,8,ventil,reeds-on,,,,
X1,1..73,valve,principal,,,,
X2,1..73,valve,flute,,CX2,1..73,
X3,1..44,valve,bourdon,,CX3,1..44,
X3,45,spare,,,,,
`

func relay(t *testing.T, in *console.Instrument) *wiring.Relay {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "relay.yaml"), []byte(relayFile), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "wiring.csv"), []byte(wiringRows), 0o600))
	r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, r, "%v", found)
	return r
}

// What there is to do was worked out by hand.
func TestIron(t *testing.T) {
	for name, c := range map[string]struct {
		replace []string
		want    []change.Job
	}{
		"nothing": {nil, nil},
		"a stop renamed": {[]string{"name: Principal", "name: Open Diapason"}, []change.Job{
			{Do: change.Retag, Board: "S1", Pins: []int{1}, Kind: "control", Item: "great-principal-8", From: "Principal", To: "Open Diapason", Cable: "CS1", Wires: []int{1}}}},
		"a stop taken away, whose pin another takes": {[]string{"choir-flute-8: {name: Flute", "choir-gedackt-8: {name: Gedackt"}, []change.Job{
			{Do: change.Remove, Board: "S1", Pins: []int{2}, Kind: "control", Item: "choir-flute-8", To: "Flute", Cable: "CS1", Wires: []int{2}},
			{Do: change.Add, Board: "S1", Pins: []int{2}, Kind: "control", Item: "choir-gedackt-8", To: "Gedackt"}}},
		// Of the choir and the pedal a stop becomes another, and the great gets one more, which stands first in the file: each goes
		// where that of its division was, and the new one to a free pin.
		"knobs of several divisions": {[]string{"choir-flute-8: {name: Flute", "choir-gedackt-8: {name: Gedackt", "pedal-subbass-16: {name: Subbass", "pedal-bass-16: {name: Bass",
			"stops:\n", "stops:\n  great-second-8: {name: Second, division: great, feet: 8, rank: principal}\n"}, []change.Job{
			{Do: change.Remove, Board: "S1", Pins: []int{2}, Kind: "control", Item: "choir-flute-8", To: "Flute", Cable: "CS1", Wires: []int{2}},
			{Do: change.Remove, Board: "S1", Pins: []int{3}, Kind: "control", Item: "pedal-subbass-16", To: "Subbass"},
			{Do: change.Add, Board: "S1", Pins: []int{9}, Kind: "control", Item: "great-second-8", To: "Second"},
			{Do: change.Add, Board: "S1", Pins: []int{2}, Kind: "control", Item: "choir-gedackt-8", To: "Gedackt"},
			{Do: change.Add, Board: "S1", Pins: []int{3}, Kind: "control", Item: "pedal-bass-16", To: "Bass"}}},
		// The bourdon gets three notes below and one above: its pipes keep their wires, with other numbers on them, and the four new
		// ones take the spare pins after its last.
		"a rank longer at both ends": {[]string{"bourdon: {division: pedal, family: flute, feet: 16, pipes: 44", "bourdon: {division: pedal, family: flute, feet: 16, from: A1, pipes: 48"}, []change.Job{
			{Do: change.Add, Board: "X3", Pins: []int{45, 46, 47, 48}, Kind: "valve", Item: "bourdon", Notes: []int{1, 2, 3, 48}, To: "bourdon"},
			{Do: change.Retag, Board: "X3", Pins: count(1, 44), Kind: "valve", Item: "bourdon", Notes: count(4, 47), From: "bourdon", Was: count(1, 44), To: "bourdon", Cable: "CX3", Wires: count(1, 44)}}},
		"basses on a chest of their own": {[]string{"rank: principal}", "rank: principal}", "ranks:", "chests:\n  front: {kind: unit}\nranks:", "principal, feet: 8, pipes: 73}", "principal, feet: 8, pipes: 73, stands: {front: 1..12, great: 13..73}}"}, []change.Job{
			{Do: change.Move, Board: "X1", Pins: count(1, 12), Kind: "valve", Item: "principal", Notes: count(1, 12), From: "great", To: "front"}}},
		"a rank that no board has room for beside valves is not scattered": {[]string{"  bourdon:", "  viole: {division: choir, family: string, feet: 8, pipes: 17}\n  bourdon:"}, []change.Job{
			{Do: change.Add, Kind: "valve", Item: "viole", Notes: count(1, 17), To: "viole"}}},
		"a rank for which one board has room": {[]string{"  bourdon:", "  viole: {division: choir, family: string, feet: 8, pipes: 16}\n  bourdon:"}, []change.Job{
			{Do: change.Add, Board: "X3", Pins: count(45, 60), Kind: "valve", Item: "viole", Notes: count(1, 16), To: "viole"}}},
		"more than there are pins for": {[]string{"choir: {kind: manual, keys: C2..C7}", "choir: {kind: manual, keys: C2..G7}"}, []change.Job{
			{Do: change.Add, Kind: "key", Item: "choir", Notes: []int{97, 98, 99, 100, 101, 102, 103}, To: "choir"},                             // and none is scattered
			{Do: change.Write, Board: "K2", Pins: count(1, 61), Kind: "key", Item: "choir", Notes: count(36, 96), From: "choir", To: "choir"}}}, // the row gave no notes
	} {
		t.Run(name, func(t *testing.T) {
			text := organ
			for i := 0; i < len(c.replace); i += 2 {
				require.Contains(t, text, c.replace[i])
				text = strings.Replace(text, c.replace[i], c.replace[i+1], 1)
			}
			old := load(t, organ)
			require.Equal(t, c.want, change.Iron(old, load(t, text), relay(t, old)))
		})
	}
}

func count(from, to int) []int {
	var list []int
	for n := from; n <= to; n++ {
		list = append(list, n)
	}
	return list
}

// A relay that plays its instrument has nothing to solder for it.
func TestNothingIsToDoWhenNothingChanged(t *testing.T) {
	for seed := range uint64(100) {
		in := gen.Instrument(seed, gen.Tiny)
		require.Empty(t, change.Iron(in, in, gen.Design(seed, in, gen.AnyOptions(seed))), "seed %d", seed)
	}
}

// Nor has one that has every kind of wire: actions of one coil and of two on
// one organ, contacts on two pins, a chest that two divisions play.
func TestNothingIsToDoWhereEveryKindIsWired(t *testing.T) {
	in, found := console.Load("../wiring/testdata/bench/organ.yaml")
	require.NotNil(t, in, "%v", found)
	r, found := wiring.Load("../wiring/testdata/bench/relay.yaml", in)
	require.NotNil(t, r, "%v", found)
	require.Empty(t, change.Iron(in, in, r))
	for i, row := range r.Plan {
		if row.Kind == wiring.ButtonKind { // a relay of no buttons is not asked for any
			r.Plan[i].Items = nil
		}
	}
	require.Empty(t, change.Iron(in, in, r))
}

// A note line that a division has no note for is not needed, and the label on
// the wires of a rank is the rank's name, though a control is called alike.
func TestOnlyWhatTheInstrumentNeedsIsAdded(t *testing.T) {
	const text = `format: 1
keyboards:
  great: {kind: manual, keys: C4..G4}
divisions:
  great: {keyboard: great, notes: C4..E4}
  echo: {keyboard: great, notes: C4..G4}
chests:
  main: {kind: slider, notes: C4..G4, plays: [great, echo]}
ranks:
  flute: {name: Flute rank, division: great, family: flute, feet: 8, from: C4, pipes: 5, stands: {main: 1..5}}
stops:
  flute: {name: Flute stop, division: great, feet: 8, rank: flute}
`
	dir := t.TempDir()
	in := load(t, text)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "relay.yaml"), []byte("format: 1\nwiring: wiring.csv\nboards:\n  K1: {kind: input, pins: 9}\n  X1: {kind: output, pins: 64}\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "wiring.csv"), []byte("board,pins,kind,item,notes\nK1,1..8,key,great,\nK1,9,stop,flute,\nX1,60,action-on,flute/great,\n"), 0o600))
	r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, r, "%v", found)
	require.Equal(t, []change.Job{
		{Do: change.Add, Board: "X1", Pins: []int{1, 2, 3, 4, 5}, Kind: "note", Item: "main/great", Notes: []int{60, 61, 62, 63, 64}, To: "main"},
		{Do: change.Add, Board: "X1", Pins: count(6, 13), Kind: "note", Item: "main/echo", Notes: count(60, 67), To: "main"},
		{Do: change.Add, Board: "X1", Pins: []int{14}, Kind: "action-off", Item: "flute/great", To: "Flute rank"},
		{Do: change.Add, Board: "X1", Pins: []int{15}, Kind: "action-on", Item: "flute/echo", To: "Flute rank"},
		{Do: change.Add, Board: "X1", Pins: []int{16}, Kind: "action-off", Item: "flute/echo", To: "Flute rank"},
	}, change.Iron(in, in, r))
}
