package fault_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

func smallest(t *testing.T) (*console.Instrument, *wiring.Relay) {
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	require.NotNil(t, in)
	r, found := wiring.Load("../../cmd/trundle/examples/smallest/relay.yaml", in)
	require.Empty(t, found)
	return in, r
}

// The effect of each is written out by hand from the example's tables.
func TestAMistakeIsFoundByItsPlace(t *testing.T) {
	in, r := smallest(t)
	held := func(note console.Note, control string) (*wiring.Relay, console.State) {
		s := console.State{Drawn: make([]bool, len(in.Controls)), Held: []console.Held{{Key: console.Key{Note: note}}}}
		for c := range in.Controls {
			s.Drawn[c] = in.Controls[c].ID == control
		}
		return nil, s
	}
	for text, x := range map[string]struct {
		where string
		note  console.Note
		drawn string
		opens []int // valves from 0: the flute has 0..72
	}{
		"pins-swapped:X1.13,X1.14":              {"X1.13..14 exchanged", 48, "flute-8", []int{13}},
		"pins-swapped:X1.13..14":                {"X1.13..14 exchanged", 49, "flute-8", []int{12}},
		"pins-swapped:X1.14,13":                 {"X1.13..14 exchanged", 49, "flute-8", []int{12}},
		"pin-open:X1.1":                         {"X1.1 open", 36, "flute-8", nil},
		"pin-open:K1.1":                         {"K1.1 open", 36, "flute-8", nil},
		"row-missing:switching.csv:8":           {"switching.csv:8 missing", 36, "flute-8", nil},
		"row-missing:X1.1..73":                  {"X1.1..73 missing", 36, "flute-8", nil},
		"wrong-control:switching.csv:9=flute-8": {"switching.csv:9 asks flute-8, not flute-4", 36, "flute-8", []int{0, 12}},
		"order-reversed:S1":                     {"", 36, "flute-8", []int{73}},
		"ranks-swapped:flute":                   {"flute and principal exchanged", 36, "flute-8", []int{73}},
		"pins-bridged:X1.1,X1.2":                {"X1.1..2 bridged", 36, "flute-8", []int{0, 1}},
	} {
		t.Run(text, func(t *testing.T) {
			f, err := fault.Find(r, in, text)
			require.NoError(t, err)
			if x.where != "" {
				require.Contains(t, f.Where, x.where)
			}
			_, s := held(x.note, x.drawn)
			var opens []int
			for v, open := range wiring.Run(f.Relay, in, s).Open {
				if open {
					opens = append(opens, v)
				}
			}
			require.Equal(t, x.opens, opens)
		})
	}
}

func TestEveryExampleIsFound(t *testing.T) {
	in, r := smallest(t)
	list := fault.Examples(r, in)
	require.Greater(t, len(list), 15)
	for _, e := range list {
		f, err := fault.Find(r, in, e.Fault)
		require.NoError(t, err, e.Fault)
		require.Equal(t, e.Class, f.Class)
	}
}

func TestWhatIsNoMistakeIsSaid(t *testing.T) {
	in, r := smallest(t)
	for text, want := range map[string]string{
		"pin-swapped:X1.1,X1.2":         "no class of mistakes pin-swapped; did you mean pins-swapped?",
		"pin-open:X1.99":                `no mistake pin-open:X1.99 can be made in this relay; one is "pin-open:`,
		"wrong-control:switching.csv:8": `wrong-control:switching.csv:8 may be any of 2 mistakes: name one, like "wrong-control:switching.csv:8 asks flute-4, not flute-8", "`,
		"":                              "no class of mistakes ; they are ",
	} {
		_, err := fault.Find(r, in, text)
		require.ErrorContains(t, err, want)
	}
}
