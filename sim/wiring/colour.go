package wiring

import (
	"slices"
	"strings"
)

// The colours of the 25-pair even-count code, ICEA S-80-576 as cable
// references give it: a pair's first wire carries the group's colour with a
// band of the pair's, its second wire the reverse.
var (
	groupColours = []string{"white", "red", "black", "yellow", "violet"}
	pairColours  = []string{"blue", "orange", "green", "brown", "slate"}
)

// dinColours are wires 1 to 44 of DIN 47100 (withdrawn in 1998, still in use).
// From 45 on two variants exist.
var dinColours = strings.Fields(`
	white brown green yellow grey pink blue red black violet
	grey-pink red-blue white-green brown-green white-yellow yellow-brown white-grey grey-brown white-pink pink-brown
	white-blue brown-blue white-red brown-red white-black brown-black grey-green yellow-grey pink-green yellow-pink
	green-blue yellow-blue green-red yellow-red green-black yellow-black grey-blue pink-blue grey-red pink-red
	grey-black pink-black blue-black red-black`)

// dinThirds are wires 45 to 60 of the variant that takes a third colour.
var dinThirds = strings.Fields(`
	white-brown-black yellow-green-black grey-pink-black red-blue-black white-green-black brown-green-black
	white-yellow-black yellow-brown-black white-grey-black grey-brown-black white-pink-black pink-brown-black
	white-blue-black brown-blue-black white-red-black brown-red-black`)

// Colour codes of cables. DIN 47100 from wire 45 on begins again at white, or
// takes a third colour; where a file does not say which, nothing is said there.
const (
	Pairs25         = "25-pair"
	DIN47100        = "din-47100"
	DIN47100Repeats = "din-47100-repeating"
	DIN47100Thirds  = "din-47100-three-colours"
)

func codes() []string { return []string{Pairs25, DIN47100, DIN47100Repeats, DIN47100Thirds} }

// Colour is the colour of a wire by a cable's code, base and then bands where
// it has any; "" where the code says nothing. Wires count 1 to 50 through the
// pairs of a 25-pair cable, and likewise in DIN 47100: pair p is wires 2p-1
// and 2p.
func Colour(code string, wire int) string {
	switch {
	case wire < 1:
	case code == Pairs25 && wire <= 50:
		pair := (wire - 1) / 2
		base, band := groupColours[pair/5], pairColours[pair%5]
		if wire%2 == 0 {
			base, band = band, base
		}
		return base + "-" + band
	case code == DIN47100Repeats:
		return dinColours[(wire-1)%len(dinColours)]
	case code != DIN47100 && code != DIN47100Thirds:
	case wire <= len(dinColours):
		return dinColours[wire-1]
	case code == DIN47100Thirds && wire <= len(dinColours)+len(dinThirds):
		return dinThirds[wire-1-len(dinColours)]
	}
	return ""
}

// WireColour is the colour that the file gives a wire of a cable, or else that
// of the cable's code; "" where neither says.
func (r *Relay) WireColour(cable string, wire int) string {
	for _, c := range r.Cables {
		if c.ID != cable {
			continue
		}
		for _, given := range c.Colours {
			if given.Wire == wire {
				return given.Colour
			}
		}
		return Colour(c.Code, wire)
	}
	return ""
}

// letters are the letter codes of IEC 60757, and other words for its colours.
var letters = map[string]string{
	"bk": "black", "bn": "brown", "rd": "red", "og": "orange", "ye": "yellow", "gn": "green", "bu": "blue", "vt": "violet",
	"gy": "slate", "wh": "white", "pk": "pink", "gd": "gold", "tq": "turquoise", "sr": "silver",
	"grey": "slate", "gray": "slate", "purple": "violet",
}

// colourWords parts the name of a colour into those that it is made of:
// White/Grey, white-slate, WH-GY and WHGY are all white and slate.
func colourWords(name string) []string {
	var words []string
	for _, word := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return strings.ContainsRune("-/ ", r) }) {
		words = append(words, spelt(word)...)
	}
	return words
}

// spelt is one word, or the colours whose letters are written together.
func spelt(word string) []string {
	if full, known := letters[word]; known {
		return []string{full}
	}
	var list []string
	for rest := word; rest != ""; rest = rest[2:] {
		if len(rest) < 2 || letters[rest[:2]] == "" {
			return []string{word}
		}
		list = append(list, letters[rest[:2]])
	}
	return list
}

// sameColour reports whether a tag names the colour that a code has. In DIN
// 47100 no two wires differ only in the order of their colours, and IEC 60757
// lists colours in an order of its own: there the order does not matter.
func sameColour(code, tag, is string) bool {
	a, b := colourWords(tag), colourWords(is)
	if code != Pairs25 {
		slices.Sort(a)
		slices.Sort(b)
	}
	return slices.Equal(a, b)
}

// variant is a cable's code as one of its tags settles it: DIN 47100 that is not
// said to be of one variant is that of its first tag past wire 44.
func variant(code string, tag WireColour) string {
	if code != DIN47100 || tag.Wire <= len(dinColours) {
		return code
	}
	if agrees(DIN47100Repeats, tag.Wire, tag.Colour) {
		return DIN47100Repeats
	}
	return DIN47100Thirds
}

// agrees reports whether a wire may be tagged so by a cable's code. Where DIN
// 47100 is not said to be of one variant, those of both are right.
func agrees(code string, wire int, tag string) bool {
	if code == DIN47100 && wire > len(dinColours) {
		return agrees(DIN47100Repeats, wire, tag) || agrees(DIN47100Thirds, wire, tag)
	}
	is := Colour(code, wire)
	return is == "" || sameColour(code, tag, is)
}
