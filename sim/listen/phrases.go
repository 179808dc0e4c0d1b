package listen

import (
	"slices"
	"strings"

	"trundle/console"
)

// nots are words that deny what stands behind them.
var nots = []string{
	"not", "does|do|did|is|are|will|would|can not", "doesn't|doesnt|don't|dont|didn't|didnt|won't|wont|isn't|isnt|aren't|arent|can't|cant|cannot",
	"no longer", "will|does no longer", "not any longer|more", "never", "will|does never", "fails to", "refuses to",
}

// phrases are the words for what is heard, the longer of two that begin alike first; a
// bar stands between words of which one is said, and not for any of nots.
var phrases = []struct {
	words   string
	verdict Verdict
}{
	{"not speak|speaks|speaking|sound|sounds|sounding|play|plays|playing|respond|responds", Dead},
	{"not work|works|working|couple|couples|coupling", Nothing}, {"not come|comes on", Nothing}, {"not do|add anything", Nothing}, {"no effect", Nothing}, {"without effect", Nothing},
	{"does|adds|adding|draws nothing", Nothing},
	{"not stop|stops|stopping", hangs}, {"not go|goes|come|comes|turn|turns off", hangs},
	{"stays|stay|goes|keeps|always on", hangs}, {"keeps sounding|speaking|playing", hangs}, {"hangs|hang|stuck|sticks", hangs},
	{"speaks|speaking|good|ok|okay|fine|right|correct|works", Speaks},
	{"dead|silent|silence|missing|absent|mute", Dead}, {"no sound", Dead}, {"nothing", Dead},
	{"also sounds|plays", Also}, {"sounds|plays|gives also", Also}, {"also", Also},
	{"sounds|sounding|plays|playing|gives", Sounds},
	{"swapped|exchanged|interchanged|crossed", swapped},
	{"wrong", Wrong},
	{"ciphers|cipher|ciphering", Ciphers},
}

// whens stand behind a word for sounding, and say when it does, or that it does not.
var whens = []struct {
	words   string
	verdict Verdict
}{
	{"with no key|keys", Ciphers}, {"without a|any key", Ciphers}, {"without key", Ciphers}, {"by itself", Ciphers},
	{"with nothing held|pressed", Ciphers}, {"all the time", Ciphers},
	{"with nothing drawn", Stays}, {"with no stop|stops", Stays}, {"without a stop", Stays}, {"undrawn", Stays}, {"when off", Stays},
	{"when|though|while not drawn", Stays}, {"when undrawn", Stays},
	{"nothing", Dead}, {"no note", Dead}, {"not", Dead},
}

// outsides are words for what no wire tells, and what it is a matter of.
var outsides = []struct{ words, what string }{
	{"out of tune", "tuning"},
	{"hardly|barely|scarcely|weak|weakly|faint|faintly|slow|slowly|late|sluggish|breathy|buzzes|buzzing|runs|running|rattles|rattling|flutters|quiet|softly", "wind, pipe or magnet"},
	{"intermittent|intermittently|sometimes|occasionally", "a loose joint, a contact, wind or magnet"},
	{"shades|shutters", "the swell box"},
}

// outside is a slip at the first word for what no wire tells; nil without one.
func (s sentence) outside(words []word) error {
	for i, w := range words {
		for _, o := range outsides {
			if begins(words[i:], o.words) > 0 {
				return s.beyond(w, o.what)
			}
		}
	}
	return nil
}

func (s sentence) beyond(w word, what string) error {
	return s.slip(w.column, w.text+" is a matter of "+what+", outside what listen models", "look there; or say what else is heard: dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on")
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
// KEY stands for any key, NOTE for a note without its octave.
func begins(words []word, phrase string) int {
	parts := strings.Fields(phrase)
	if len(words) >= len(parts) && slices.EqualFunc(words[:len(parts)], parts, func(w word, part string) bool {
		switch part {
		case "KEY":
			return isKeys(w.text) && !strings.Contains(w.text, "..")
		case "NOTE":
			return bare(w.text)
		}
		return w.is(strings.Split(part, "|")...)
	}) {
		return len(parts)
	}
	return 0
}

// longest is how many words the longest of some phrases has that some words begin with.
func longest(words []word, phrases []string) (n int) {
	for _, p := range phrases {
		n = max(n, begins(words, p))
	}
	return n
}

// fills reports whether a word says nothing by itself.
func (w word) fills() bool {
	return w.is("the", "a", "an", "is", "are", "at", "on", "from", "in", "of", "for", "key", "keys", "note", "notes", "only", "held", "pressed", "drawn", ",",
		"there", "it", "has", "have", "whole", "every", "each")
}

// joined are words, those of a note as one: c sharp 4, C# 4, e flat 3; and those that
// deny: does not, won't.
func joined(words []word) (list []word) {
	for i := 0; i < len(words); i++ {
		w := words[i]
		next := func(some ...string) bool { return i+1 < len(words) && words[i+1].is(some...) }
		if n := longest(words[i:], nots); n > 0 {
			w.text = "not"
			i += n - 1
		}
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
