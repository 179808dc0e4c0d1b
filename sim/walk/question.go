package walk

import (
	"slices"
	"strings"

	"trundle/console"
)

// Question is of a line that is not kept until it is answered.
type Question struct {
	Text   string
	Number string  // that lacks its unit: the unit alone answers; "" where none does
	Yes    *Answer // what is kept when the answer is yes; nil where yes is none
}

func (q *Question) Error() string { return q.Text }

// helpWords gives the words by which the help explains a verdict, and those that a meter
// shows for it, the name of the verdict.
func (s Step) helpWords(line string) string {
	open := s.Phase == Legs || s.Phase >= Valves && !s.silent()
	for _, w := range []struct {
		words, verdict string
		means          bool
	}{
		{"not tried", "skip", true}, {"not tested", "skip", true}, {"untried", "skip", true}, {"untested", "skip", true},
		{"open circuit", "open", open}, {"infinite", "open", open}, {"infinity", "open", open}, {"no current", "open", open},
		{"ol", "open", s.Phase == Legs}, // of amps and volts it is too much
	} {
		text := strings.Join(strings.Fields(line), " ")
		if w.means && len(text) >= len(w.words) && strings.EqualFold(text[:len(w.words)], w.words) {
			if behind := text[len(w.words):]; behind == "" || strings.ContainsRune(" ,;:.!", rune(behind[0])) {
				return w.verdict + behind
			}
		}
	}
	return line
}

// faulty are words, and beginnings of longer ones, of a sentence that says what is wrong.
var faulty = []string{"no", "not", "never", "nothing", "without", "two", "twice", "three", "both", "also", "too", "only", "off", "out",
	"instead", "another", "wrong", "broke", "loose", "missing", "short", "burn", "warm", "hot", "smell", "smok", "leak", "sometimes",
	"intermittent", "revers", "swap", "cross", "exchang", "bent", "squea", "rattl", "click", "move", "plays", "weak", "pull", "stiff", "blow", "blew",
	"corrod", "touch", "stay", "crack", "flat", "sharp", "low", "high", "early", "beep", "knock", "hiss", "fault", "fail", "flicker", "number"}

// understood reports whether words say what is wrong, as far as can be told.
func understood(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool {
		if strings.HasSuffix(w, "n't") || slices.Contains(noises, w) {
			return true
		}
		if _, err := console.ParseNote(strings.ToUpper(w)); err == nil {
			return true
		}
		for _, h := range heard {
			if slices.Contains(h.words, w) {
				return true
			}
		}
		return slices.ContainsFunc(faulty, func(f string) bool { return w == f || len(f) > 3 && strings.HasPrefix(w, f) })
	})
}
