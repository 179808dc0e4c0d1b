package walk

import (
	"fmt"
	"strings"

	"trundle/console/finding"
)

// Sayings are what can be said in a walk, and what it means: answers, then what
// leads through it, which is not this package's to do.
var Sayings = []struct{ Say, Means string }{
	{"good, speaks", "or y, ok, g, s"},
	{"dead, wrong, faint", "or n, d, w, f; words may stand behind: faint, C2 only"},
	{"ciphers, open, bridged", "or c, o, b; open is no current, bridged that of two"},
	{"weak", "too little to pull in"},
	{"sticks, buzzes, slow", "or it ciphers, hums, chatters, is late, soft or quick: what such words mean"},
	{"silent", "or dead, nothing, quiet, no murmur: good where nothing should speak, and what speaks is not"},
	{"93mA, 0.093 A, 14,2 V", "what a meter shows; alone, it is held to what is expected, a tenth either way"},
	{"other WORDS", "what is wrong; a sentence that says so needs no other before it"},
	{"accept WHY", "as it is"},
	{"skip", "not tried"},
	{"again, back, next", "the step again; the one before; the first without an answer"},
	{"goto 140", "that step, if its phase has begun"},
	{"rest", "this one is good, and all to the end of its group but those that show volts or amps to compare: each of them is answered by itself"},
	{"clear", "before what is loud or moves: the chamber is clear"},
	{"done", "what is done by hand first is done"},
	{"end", "stop here"},
	{"?", "show this"},
}

var said = map[string]Verdict{
	"y": Good, "yes": Good, "ok": Good, "okay": Good, "g": Good, "good": Good, "s": Speaks, "speaks": Speaks,
	"n": Dead, "no": Dead, "d": Dead, "dead": Dead, "w": Wrong, "wrong": Wrong, "f": Faint, "faint": Faint,
	"c": Sounds, "ciphers": Sounds, "o": Open, "open": Open, "b": Bridged, "bridged": Bridged, "weak": Weak,
	"other": Other, "accept": Accept, "accepted": Accept, "skip": Skipped, "skipped": Skipped,
}

// unknown complains of a single word that is nothing that can be said.
func unknown(word string) error {
	if _, is := number(word); is {
		return &Question{Text: fmt.Sprintf("%s of what? write %smA, %sA or %sV", word, word, word, word), Number: word}
	}
	if strings.EqualFold(word, "OL") {
		return fmt.Errorf("%s is no current where ohms are read, and too much where amps or volts are: write open, or bridged", word)
	}
	var known []string
	for _, s := range Sayings {
		for _, say := range strings.Split(s.Say, ", ") {
			if first, _, _ := strings.Cut(say, " "); first[0] >= 'a' && !strings.EqualFold(first, word) {
				known = append(known, first)
			}
		}
	}
	if near := finding.Nearest(word, known); near != "" {
		return fmt.Errorf("%q is no verdict: did you mean %s? write other %s if that is what is wrong", word, near, word)
	}
	return fmt.Errorf("%q is no verdict: write other %s if that is what is wrong; ? shows what can be said", word, word)
}
