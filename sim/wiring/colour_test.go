package wiring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

// The 25-pair even-count code as cable references print it (ICEA S-80-576):
// the colours of a group down, those of a pair across, and the pair's number.
func TestColoursOfThe25PairCode(t *testing.T) {
	pairs := []string{"blue", "orange", "green", "brown", "slate"}
	for group, row := range map[string][5]int{
		"white": {1, 2, 3, 4, 5}, "red": {6, 7, 8, 9, 10}, "black": {11, 12, 13, 14, 15},
		"yellow": {16, 17, 18, 19, 20}, "violet": {21, 22, 23, 24, 25},
	} {
		for i, pair := range row {
			require.Equal(t, group+"-"+pairs[i], wiring.Colour(wiring.Pairs25, 2*pair-1), "first wire of pair %d", pair)
			require.Equal(t, pairs[i]+"-"+group, wiring.Colour(wiring.Pairs25, 2*pair), "second wire of pair %d", pair)
		}
	}
	require.Empty(t, wiring.Colour(wiring.Pairs25, 0))
	require.Empty(t, wiring.Colour(wiring.Pairs25, 51))
}

// Wires of DIN 47100 (November 1998, withdrawn) as its table has them, in the
// letters of IEC 60757.
func TestColoursOfDIN47100(t *testing.T) {
	letters := map[string]string{"white": "WH", "brown": "BN", "green": "GN", "yellow": "YE", "grey": "GY", "pink": "PK", "blue": "BU", "red": "RD", "black": "BK", "violet": "VT"}
	seen := map[string]int{}
	for wire := 1; wire <= 44; wire++ {
		colour := wiring.Colour(wiring.DIN47100, wire)
		require.NotEmpty(t, colour)
		require.Zero(t, seen[colour], "wires %d and %d are both %s", seen[colour], wire, colour)
		seen[colour] = wire
	}
	for wire, want := range map[int]string{
		1: "WH", 2: "BN", 3: "GN", 4: "YE", 5: "GY", 6: "PK", 7: "BU", 8: "RD", 9: "BK", 10: "VT",
		11: "GY-PK", 12: "RD-BU", 13: "WH-GN", 16: "YE-BN", 20: "PK-BN", 24: "BN-RD", 26: "BN-BK", 30: "YE-PK",
		33: "GN-RD", 36: "YE-BK", 40: "PK-RD", 44: "RD-BK",
	} {
		require.Equal(t, want, inLetters(wiring.Colour(wiring.DIN47100, wire), letters), "wire %d", wire)
	}
	require.Empty(t, wiring.Colour(wiring.DIN47100, 45), "from 45 two variants exist")
	require.Empty(t, wiring.Colour("", 1))
}

func inLetters(colour string, letters map[string]string) string {
	text, word := "", ""
	for _, r := range colour + "-" {
		if r != '-' {
			word += string(r)
			continue
		}
		if text != "" {
			text += "-"
		}
		text, word = text+letters[word], ""
	}
	return text
}

// Slate is grey and violet is purple; case and the mark between base and band
// do not matter, which of the two is the base does.
func TestColourNamesAreReadAsPeopleWriteThem(t *testing.T) {
	for tag, agrees := range map[string]bool{
		"white-slate": true, "white/grey": true, "White Gray": true, "slate-white": false, "white": false, "white-blue": false,
	} {
		in, relay, marked := bench(t, edit{"relay.yaml", "11: red-blue", "9: ①" + tag})
		r, found := wiring.Load(relay, in)
		require.NotNil(t, r, "%v", found)
		require.Equal(t, agrees, len(wiring.Check(r, in)) == 0, "%s at %s", tag, marked["①"])
	}
}
