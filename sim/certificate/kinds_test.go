package certificate

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

const organFile = `format: 1
keyboards:
  great: {kind: manual, keys: C4..E4, touches: 2}
divisions:
  great: {keyboard: great, notes: C4..E4, chest: slider}
ranks:
  flute: {division: great, family: flute, feet: 8, from: C4, pipes: 5}
stops:
  flute-8: {name: Flute, division: great, feet: 8, rank: flute}
  more-8: {name: More, division: great, feet: 8, rank: flute}
`

const relayFile = `format: 1
wiring: wiring.csv
switching: switching.csv
boards:
  K1: {kind: input, pins: 10}
  S1: {kind: input, pins: 2}
  X1: {kind: output, pins: 7}
`

const wires = `board,pins,kind,item,notes,cable,wires,group
K1,1..5,key,great,,,,
K1,6..10,key-2,great,,,,
S1,1,stop,flute-8,,,,
S1,2,stop,more-8,,,,
X1,1..5,note,great,,,,
`

// relayOf is a relay of these wiring and switching rows.
func relayOf(t *testing.T, wiringRows, rows string) (*console.Instrument, *wiring.Relay) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"organ.yaml": organFile, "relay.yaml": relayFile, "wiring.csv": wires + wiringRows,
		"switching.csv": "kind,line,notes,control,board,pins,to,to-notes,picks\n" + rows} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	in, found := console.Load(filepath.Join(dir, "organ.yaml"))
	require.NotNil(t, in, "%v", found)
	r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, r, "%v", found)
	return in, r
}

const reads = "read,keys,C4..E4,,K1,1..5,,,\nread,,,flute-8,S1,1,,,\nread,,,more-8,S1,2,,,\n"

// What generated relays do not have: actions of two coils, and rows that pick
// from a line whose notes have several places.
func TestGatesAgreeOnRowsThatAreRare(t *testing.T) {
	for name, c := range map[string]struct{ wires, rows string }{
		"an action that is turned on and off": {"X1,6,action-on,flute,,,,\nX1,7,action-off,flute,,,,\n",
			reads + "drive,keys,C4..E4,,X1,1..5,,,\ndrive,,,flute-8,X1,6,,,\ndrive,,,more-8,X1,7,,,\n"},
		"a row that picks the highest": {"X1,6,action,flute,,,,\n",
			reads + "couple,keys,C4..E4,more-8,,,line,C4..E4,highest\ndrive,line,C4..E4,,X1,1..5,,,\ndrive,,,flute-8,X1,6,,,\n"},
		"a pick of a line that a pick made": {"X1,6,action,flute,,,,\n",
			reads + "couple,keys,C4..D4,,,,line,D4..E4,highest\ncouple,keys,C#4..E4,!more-8,,,line,C4..D#4,lowest\n" +
				"couple,line,C4..E4,,,,last,C4..E4,lowest\ndrive,last,C4..E4,,X1,1..5,,,\ndrive,,,flute-8,X1,6,,,\n"},
	} {
		t.Run(name, func(t *testing.T) {
			in, relay := relayOf(t, c.wires, c.rows)
			made, err := New(in, relay)
			require.NoError(t, err)
			random := rand.New(rand.NewPCG(1, 1))
			open := 0
			for range 300 {
				s := anyState(random, in)
				value := made.circuit.values(made.inputs.on(in, s))
				for v, want := range wiring.Run(relay, in, s).Open {
					require.Equal(t, want, holds(value, made.opened[v]), "%+v, valve %d", s, v)
					if want {
						open++
					}
				}
			}
			require.Greater(t, open, 50)
		})
	}
}

// A note that a picking row sends to two places goes to both: it is the note
// that is picked.
func TestAPickedNoteGoesToAllItsPlaces(t *testing.T) {
	in, relay := relayOf(t, "X1,6,action,flute,,,,\n", reads+"couple,keys,C4 C4 D4,,,,line,C4 E4 D4,lowest\ndrive,line,C4..E4,,X1,1..5,,,\ndrive,,,flute-8,X1,6,,,\n")
	made, err := New(in, relay)
	require.NoError(t, err)
	s := console.State{Drawn: []bool{true, false}, Held: []console.Held{{Key: console.Key{Note: 60}}, {Key: console.Key{Note: 62}}}}
	value := made.circuit.values(made.inputs.on(in, s))
	var open []int
	for v, l := range made.opened {
		if holds(value, l) {
			open = append(open, v)
		}
	}
	require.Equal(t, []int{0, 4}, open)
}

// Nobody makes a second contact without the first: every formula says so.
func TestASecondContactImpliesTheFirst(t *testing.T) {
	in, relay := relayOf(t, "X1,6,action,flute,,,,\n", reads)
	made, err := New(in, relay)
	require.NoError(t, err)
	clauses := made.inputs.deep()
	require.Len(t, clauses, 5)
	for _, c := range clauses {
		require.Len(t, c, 2)
		require.Negative(t, c[0])
		require.Positive(t, c[1])
	}
	require.Contains(t, made.formula([]int{0}).text.String(), "\n-9 4 0\n") // 1 is true, 2 and 3 are the stops, 4 to 8 and 9 to 13 the contacts
}
