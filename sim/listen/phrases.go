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
	{"stays on", hangs}, {"goes on", hangs}, {"hangs", hangs}, {"stuck", hangs}, {"sticks", hangs}, {"always on", hangs},
	{"does not stop", hangs}, {"does not go off", hangs}, {"doesn't stop", hangs}, {"doesn't go off", hangs},
}

// whens stand behind a word for sounding, and say when it does, or that it does not.
var whens = []struct {
	words   string
	verdict Verdict
}{
	{"with no key", Ciphers}, {"with no keys", Ciphers}, {"without a key", Ciphers}, {"without any key", Ciphers}, {"without key", Ciphers}, {"by itself", Ciphers},
	{"with nothing held", Ciphers}, {"with nothing pressed", Ciphers}, {"all the time", Ciphers},
	{"with nothing drawn", Stays}, {"with no stop", Stays}, {"with no stops", Stays}, {"without a stop", Stays}, {"undrawn", Stays}, {"when off", Stays},
	{"when not drawn", Stays}, {"though not drawn", Stays}, {"while not drawn", Stays}, {"when undrawn", Stays},
	{"nothing", Dead}, {"no note", Dead}, {"not", Dead},
}

// phrase is the verdict that some words begin with, and how many of them say it; zero
// for none.
func phrase(words []word) (Verdict, int) {
	if len(words) > 0 && words[0].is("sounds", "plays", "speaks", "gives") {
		for _, p := range whens {
			if n := begins(words[1:], p.words); n > 0 {
				return p.verdict, 1 + n
			}
		}
	}
	for _, p := range phrases {
		if n := begins(words, p.words); n > 0 {
			return p.verdict, n
		}
	}
	return "", 0
}

// begins is how many words a phrase has that some words begin with; zero where they do not.
func begins(words []word, phrase string) int {
	parts := strings.Fields(phrase)
	if len(words) >= len(parts) && slices.EqualFunc(words[:len(parts)], parts, func(w word, part string) bool { return w.is(part) }) {
		return len(parts)
	}
	return 0
}

// fills reports whether a word says nothing by itself.
func (w word) fills() bool {
	return w.is("the", "a", "an", "is", "are", "at", "on", "from", "in", "of", "for", "key", "keys", "note", "only", "held", "pressed", "drawn", ",")
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
