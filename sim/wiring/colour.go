package wiring

import "strings"

// The colours of the 25-pair even-count code, ICEA S-80-576 as cable
// references give it: a pair's first wire carries the group's colour with a
// band of the pair's, its second wire the reverse.
var (
	groupColours = []string{"white", "red", "black", "yellow", "violet"}
	pairColours  = []string{"blue", "orange", "green", "brown", "slate"}
)

// dinColours are wires 1 to 44 of DIN 47100 (withdrawn in 1998, still in use).
// From 45 two variants exist, so nothing is said there.
var dinColours = strings.Fields(`
	white brown green yellow grey pink blue red black violet
	grey-pink red-blue white-green brown-green white-yellow yellow-brown white-grey grey-brown white-pink pink-brown
	white-blue brown-blue white-red brown-red white-black brown-black grey-green yellow-grey pink-green yellow-pink
	green-blue yellow-blue green-red yellow-red green-black yellow-black grey-blue pink-blue grey-red pink-red
	grey-black pink-black blue-black red-black`)

// Colour codes of cables.
const (
	Pairs25  = "25-pair"
	DIN47100 = "din-47100"
)

func codes() []string { return []string{Pairs25, DIN47100} }

// Colour is the colour of a wire by a cable's code, base and then band where
// it has two; "" where the code says nothing. Wires count 1 to 50 through the
// pairs of a 25-pair cable: pair p is wires 2p-1 and 2p.
func Colour(code string, wire int) string {
	switch {
	case code == Pairs25 && 1 <= wire && wire <= 50:
		pair := (wire - 1) / 2
		base, band := groupColours[pair/5], pairColours[pair%5]
		if wire%2 == 0 {
			base, band = band, base
		}
		return base + "-" + band
	case code == DIN47100 && 1 <= wire && wire <= len(dinColours):
		return dinColours[wire-1]
	}
	return ""
}

var colourNames = strings.NewReplacer("gray", "slate", "grey", "slate", "purple", "violet", "/", "-", " ", "-")

// sameColour reports whether two names mean one colour: grey and slate,
// violet and purple are alike.
func sameColour(a, b string) bool {
	plain := func(s string) string { return colourNames.Replace(strings.ToLower(strings.TrimSpace(s))) }
	return plain(a) == plain(b)
}
