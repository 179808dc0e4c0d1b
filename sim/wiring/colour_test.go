package wiring_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
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

// From wire 45 cable makers print two tables, with colours repeated and
// without: one begins again (so pair 23 is as pair 1), the other takes a third
// colour and ends at 60. Both are as the first up to 44.
func TestBothVariantsOfDIN47100(t *testing.T) {
	for wire := 1; wire <= 44; wire++ {
		require.Equal(t, wiring.Colour(wiring.DIN47100, wire), wiring.Colour(wiring.DIN47100Repeats, wire))
		require.Equal(t, wiring.Colour(wiring.DIN47100, wire), wiring.Colour(wiring.DIN47100Thirds, wire))
	}
	for wire, want := range map[int][2]string{
		45: {"white", "white-brown-black"}, 46: {"brown", "yellow-green-black"}, 47: {"green", "grey-pink-black"},
		48: {"yellow", "red-blue-black"}, 49: {"grey", "white-green-black"}, 50: {"pink", "brown-green-black"},
		54: {"violet", "grey-brown-black"}, 55: {"grey-pink", "white-pink-black"}, 59: {"white-yellow", "white-red-black"},
		60: {"yellow-brown", "brown-red-black"}, 61: {"white-grey", ""}, 88: {"red-black", ""}, 89: {"white", ""},
	} {
		require.Equal(t, want[0], wiring.Colour(wiring.DIN47100Repeats, wire), "wire %d", wire)
		require.Equal(t, want[1], wiring.Colour(wiring.DIN47100Thirds, wire), "wire %d", wire)
	}
}

// No two wires of DIN 47100 differ only in the order of their colours, so that
// a tag may list them in any.
func TestOrderDoesNotTellWiresOfDIN47100Apart(t *testing.T) {
	seen := map[string]int{}
	for wire := 1; wire <= 60; wire++ {
		parts := strings.Split(wiring.Colour(wiring.DIN47100Thirds, wire), "-")
		slices.Sort(parts)
		sorted := strings.Join(parts, "-")
		require.Zero(t, seen[sorted], "wires %d and %d", seen[sorted], wire)
		seen[sorted] = wire
	}
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
// do not matter, which of the two is the base does. Letters are those of IEC
// 60757, written together (RDBU is its example) or parted; it lists them in an
// order of its own, black, brown, red and so on, whatever the base is.
func TestColourNamesAreReadAsPeopleWriteThem(t *testing.T) {
	for code, tags := range map[string]map[string]bool{
		"25-pair, colours: {9: ": {
			"white-slate": true, "white/grey": true, "White Gray": true, "WH-GY": true, "whgy": true, "wh/grey": true,
			"slate-white": false, "white": false, "white-blue": false, "GYWH": false, "WH": false, "WHGYX": false, "WHG": false,
		},
		"din-47100, colours: {12: ":               {"red-blue": true, "RDBU": true, "BURD": true, "blue-red": true, "RD": false, "RDBUBK": false},
		"din-47100, colours: {10: ":               {"violet": true, "VT": true, "purple": true, "BK": false},
		"din-47100, colours: {45: ":               {"white": true, "WH-BN-BK": true, "BKBNWH": true, "brown": false},
		"din-47100, colours: {45: white, 46: ":    {"brown": true, "YEGNBK": false},
		"din-47100, colours: {45: WHBNBK, 46: ":   {"brown": false, "YEGNBK": true},
		"din-47100-repeating, colours: {45: ":     {"white": true, "WHBNBK": false},
		"din-47100-three-colours, colours: {45: ": {"white": false, "WHBNBK": true},
		"din-47100-three-colours, colours: {61: ": {"white": true, "anything": true},
	} {
		for tag, agrees := range tags {
			in, relay, marked := bench(t, edit{"relay.yaml", "CS1: {wires: 50, code: 25-pair, colours: {1: white-blue, 2: Blue/White, 11: red-blue", "CS1: {wires: 99, code: " + code + "①" + tag})
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			found = slices.DeleteFunc(wiring.Check(r, in), func(f finding.Finding) bool { return f.Rule == "code-ends" })
			require.Equal(t, agrees, len(found) == 0, "%s%s at %s", code, tag, marked["①"])
			if !agrees {
				require.Equal(t, "colour-disagrees", found[0].Rule)
				require.Contains(t, found[0].Message, "is tagged "+tag+"; by the code ")
			}
		}
	}
}

// The 25-pair code has 25 pairs and so 50 wires (ICEA S-80-576), DIN 47100 colours
// for 44 wires before its variants part, and for 60 with third colours.
func TestACableOfMoreWiresThanItsCodeIsNoted(t *testing.T) {
	at := slices.IndexFunc(wiring.Rules, func(r wiring.Rule) bool { return r.ID == "code-ends" })
	codeEnds := wiring.Rules[at].Run
	for code, last := range map[string]int{wiring.Pairs25: 50, wiring.DIN47100: 44, wiring.DIN47100Thirds: 60} {
		for wires, want := range map[int]int{last: 0, last + 1: 1} {
			r := &wiring.Relay{Cables: []wiring.Cable{{ID: "C", Wires: wires, Code: code}}}
			found := codeEnds(r, nil)
			require.Len(t, found, want, "%s, %d wires", code, wires)
			for _, f := range found {
				require.Equal(t, finding.Note, f.Severity)
				require.Contains(t, f.Message, fmt.Sprintf("wire %d of C", wires))
			}
			r.Cables[0].Colours = []wiring.WireColour{{Wire: wires, Colour: "pink"}}
			require.Empty(t, codeEnds(r, nil), "a wire whose colour is given")
		}
	}
	require.Empty(t, codeEnds(&wiring.Relay{Cables: []wiring.Cable{{ID: "C", Wires: 64}, {ID: "D", Wires: 64, Code: wiring.DIN47100Repeats}}}, nil))
}
