package listen

import (
	"slices"
	"strings"

	"trundle/console"
)

// phrases are the words for what is heard, the longer of two that begin alike first.
var phrases = []struct {
	words   string
	verdict Verdict
}{
	{"speaks", Speaks}, {"good", Speaks}, {"ok", Speaks}, {"okay", Speaks}, {"fine", Speaks}, {"right", Speaks}, {"correct", Speaks}, {"works", Speaks}, {"faint", Speaks},
	{"does nothing", Nothing}, {"adds nothing", Nothing}, {"adding nothing", Nothing},
	{"dead", Dead}, {"silent", Dead}, {"silence", Dead}, {"no sound", Dead}, {"nothing", Dead},
	{"does not sound", Dead}, {"does not speak", Dead}, {"does not play", Dead}, {"does not work", Dead},
	{"doesn't sound", Dead}, {"doesn't speak", Dead}, {"doesn't play", Dead}, {"doesn't work", Dead},
	{"also sounds", Also}, {"also plays", Also}, {"also", Also},
	{"sounds", Sounds}, {"plays", Sounds}, {"gives", Sounds},
	{"wrong", Wrong},
	{"ciphers", Ciphers}, {"cipher", Ciphers}, {"ciphering", Ciphers},
}

// phrase is the verdict that some words begin with, and how many of them say it; zero
// for none.
func phrase(words []word) (Verdict, int) {
	for _, p := range phrases {
		parts := strings.Fields(p.words)
		if len(words) >= len(parts) && slices.EqualFunc(words[:len(parts)], parts, func(w word, part string) bool { return w.is(part) }) {
			return p.verdict, len(parts)
		}
	}
	return "", 0
}

// fills reports whether a word says nothing by itself.
func (w word) fills() bool {
	return w.is("the", "a", "an", "is", "are", "at", "on", "from", "in", "of", "for", "key", "keys", "note", "only", ",")
}

// joined are words, those of a note as one: c sharp 4, C# 4, e flat 3.
func joined(words []word) (list []word) {
	for i := 0; i < len(words); i++ {
		w := words[i]
		next := func(some ...string) bool { return i+1 < len(words) && words[i+1].is(some...) }
		if bare(w.text) {
			switch {
			case next("sharp", "#"):
				w.text += "#"
				i++
			case next("flat"):
				w.text += "b"
				i++
			}
			if bare(w.text) && next("0", "1", "2", "3", "4", "5", "6", "7", "8", "9") {
				i++
				w.text += words[i].text
			}
		}
		list = append(list, w)
	}
	return list
}

// bare reports whether a text is a note without its octave.
func bare(text string) bool {
	_, err := console.ParseNote(text)
	_, withOctave := console.ParseNote(text + "4")
	return err != nil && withOctave == nil && text[0] > '9'
}

// near is the note of a name without an octave that is nearest to a key.
func near(name string, key console.Note) console.Note {
	best := console.Note(-1)
	for _, octave := range []string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"} {
		if n, err := console.ParseNote(name + octave); err == nil && (best < 0 || apart(n, key) < apart(best, key)) {
			best = n
		}
	}
	return best
}
