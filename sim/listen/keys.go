package listen

import (
	"slices"
	"strconv"
	"strings"

	"trundle/console"
)

// spans are words for keys of a keyboard that has some: from and to what they mean,
// where a and b are the notes that are named.
var spans = []struct {
	words string
	keys  func(a, b console.Note, has console.Span) console.Span
}{
	{"KEY to|till|until|through|- KEY", func(a, b console.Note, _ console.Span) console.Span { return console.Span{From: a, To: b} }},
	{"KEY and|or above|up|upward|upwards|higher", upwards}, {"KEY up|upward|upwards", upwards}, {"down to KEY", upwards},
	{"KEY and|or below|down|downward|downwards|lower", downwards}, {"KEY down|downward|downwards", downwards}, {"up to KEY", downwards},
	{"bottom|lowest octave", func(_, _ console.Note, has console.Span) console.Span {
		return console.Span{From: has.From, To: min(has.To, has.From+11)}
	}},
	{"top|highest octave", func(_, _ console.Note, has console.Span) console.Span {
		return console.Span{From: max(has.From, has.To-11), To: has.To}
	}},
	{"tenor octave", func(_, _ console.Note, _ console.Span) console.Span {
		return console.Span{From: tenorC, To: tenorC + 11}
	}},
	{"middle octave", func(_, _ console.Note, _ console.Span) console.Span {
		return console.Span{From: middleC, To: middleC + 11}
	}},
	{"bottom|lowest|low NOTE", func(a, _ console.Note, has console.Span) console.Span { return one(above(a, has.From)) }},
	{"tenor NOTE", func(a, _ console.Note, _ console.Span) console.Span { return one(above(a, tenorC)) }},
	{"middle NOTE", func(a, _ console.Note, _ console.Span) console.Span { return one(above(a, middleC)) }},
	{"top|highest|high NOTE", func(a, _ console.Note, has console.Span) console.Span { return one(above(a, has.To-11)) }},
	{"bottom|lowest note|key", func(_, _ console.Note, has console.Span) console.Span { return one(has.From) }},
	{"top|highest note|key", func(_, _ console.Note, has console.Span) console.Span { return one(has.To) }},
}

// The octaves from tenor C and middle C, of which the latter is MIDI key 60.
const (
	tenorC  console.Note = 48
	middleC console.Note = 60
)

func one(n console.Note) console.Span { return console.Span{From: n, To: n} }

func upwards(a, _ console.Note, has console.Span) console.Span {
	return console.Span{From: a, To: max(a, has.To)}
}

func downwards(a, _ console.Note, has console.Span) console.Span {
	return console.Span{From: min(a, has.From), To: a}
}

// above is the lowest note from another up that has the name of a.
func above(a, from console.Note) console.Note { return from + (a%12-from%12+12)%12 }

// spanned are words, those for keys of a keyboard as one: C2 to C3 as C2..C3.
func spanned(words []word, has console.Span) (list []word) {
	for i := 0; i < len(words); i++ {
		w := words[i]
		for _, s := range spans {
			n := begins(words[i:], s.words)
			if n == 0 {
				continue
			}
			var named []console.Note
			for _, w := range words[i : i+n] {
				if note, err := console.ParseNote(w.text); err == nil {
					named = append(named, note)
				} else if note, err := console.ParseNote(w.text + "4"); err == nil {
					named = append(named, note)
				}
			}
			named = append(named, 0, 0)
			keys := s.keys(named[0], named[1], has)
			if w.text = keys.From.String(); keys.From != keys.To {
				w.text += ".." + keys.To.String()
			}
			i += n - 1
			break
		}
		list = append(list, w)
	}
	return list
}

// intervals are words for how far one note is from another, in semitones.
var intervals = []struct {
	words     string
	semitones int
}{
	{"semitone|semitones|half-tone|note|notes|key|keys", 1}, {"half tone", 1}, {"tone|tones", 2}, {"minor third", 3}, {"major third", 4},
	{"fourth", 5}, {"fifth", 7}, {"octave|octaves", 12},
}

// counts are words for how many of an interval; figures are others.
var counts = []string{"", "a|an|one", "two", "three"}

// Words for up and down.
const (
	upWords   = "high|higher|sharp|up"
	downWords = "low|lower|flat|down"
)

// interval is how many semitones too high the words say that something sounds, below
// zero for too low, and how many words say it; zero for none: a semitone sharp.
func interval(words []word) (semitones, length int) {
	times := 1
	if n := slices.IndexFunc(counts, func(number string) bool { return number != "" && begins(words, number) > 0 }); n > 0 {
		times, length = n, 1
	} else if len(words) > 0 {
		if n, err := strconv.Atoi(words[0].text); err == nil && n > 0 && n < 128 {
			times, length = n, 1
		}
	}
	for _, x := range intervals {
		n := begins(words[length:], x.words)
		if n == 0 {
			continue
		}
		n += length
		n += begins(words[n:], "too")
		if d := begins(words[n:], upWords); d > 0 {
			return times * x.semitones, n + d
		}
		if d := begins(words[n:], downWords); d > 0 {
			return -times * x.semitones, n + d
		}
	}
	return 0, 0
}

// single reports whether a word is one key.
func (w word) single() bool { return isKeys(w.text) && !strings.Contains(w.text, "..") }
