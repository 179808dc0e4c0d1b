package console_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// Footages of stops are those of harmonics: 64 feet over a whole number
// (Encyclopaedia Britannica, 11th edition, "Organ", gives the usual ones; those
// of the 7th, 9th and further harmonics are common practice, no source).
func TestFootagesOfHarmonicsAreNotOdd(t *testing.T) {
	for text, odd := range map[string]bool{
		"64": false, "42 2/3": false, "32": false, "21 1/3": false, "16": false, "12 4/5": false, "10 2/3": false, "9 1/7": false, "8": false,
		"7 1/9": false, "6 2/5": false, "5 1/3": false, "4 4/7": false, "4": false, "3 5/9": false, "3 1/5": false, "2 2/3": false, "2 2/7": false,
		"2": false, "1 7/9": false, "1 3/5": false, "1 5/11": false, "1 1/3": false, "1 3/13": false, "1 1/7": false, "1 1/15": false, "1": false,
		"16/19": false, "8/9": false, "4/5": false, "8/11": false, "2/3": false, "8/15": false, "1/2": false, "2/5": false, "1/3": false, "1/4": false, "1/8": false,
		"2 3/4": true, "5 1/2": true, "3": true, "6": true, "12": true, "10": true, "1 1/2": true, "1 2/3": true, "2 1/3": true, "7": true, "5": true,
	} {
		feet, err := console.ParseFeet(text)
		require.NoError(t, err)
		in := &console.Instrument{Ranks: []console.Rank{{ID: "rank", Feet: feet, Pipes: 61}}}
		found := 0
		for _, f := range in.Check() {
			if f.Rule == "odd-footage" {
				found++
			}
		}
		require.Equal(t, odd, found == 1, text)
	}
}
