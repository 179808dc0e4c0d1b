package listen

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// said is a sentence as it reads.
type said struct {
	about []word
	from  word // of the keys, for what is wrong with them
	keys  func(n console.Note) bool
	key   console.Note // the one that is named; -1 for none, or several
	heard Heard
	note  word // that is heard
	ahead bool // the verdict stands before what is meant
	bare  word // the note that is heard, where its octave is not said
	with  [][]word

	undrawn bool // nothing is drawn

	named   []word // the keys that are meant, as they are understood
	instead word   // the key that sounds otherwise, where it is the only one named
}

// parse takes a sentence apart, about a keyboard that has some keys; rest is what stands
// behind a comma that ends it. One of a key and no keyboard or stop is about those of the
// one before.
func parse(s sentence, before said, has console.Span) (p said, rest []word, err error) {
	p.key = -1
	words := spanned(joined(s.words), has)
	if err := s.outside(words); err != nil {
		return p, nil, err
	}
	for len(words) > 0 && err == nil {
		w := words[0]
		verdict, length := phrase(words)
		shift, far := interval(words)
		switch {
		case far > 0 && p.heard.Verdict == "":
			p.heard, p.note, words = Heard{Verdict: Sounds, shift: shift}, w, words[far:]
		case p.heard.Verdict == "" && (begins(words, "KEY sounds|plays as well") > 0 || begins(words, "KEY sounds|plays too") > 0):
			n := max(begins(words, "KEY sounds|plays as well"), begins(words, "KEY sounds|plays too"))
			words, err = p.verdict(s, Also, words[1:n], append([]word{w}, words[n:]...))
		case length == 0 && w.is("not"):
			return p, nil, s.slip(w.column, "not understood: "+strings.Join(texts(words[:min(2, len(words))]), " "), "say what is heard: "+canSay)
		case w.is("sharp", "flat") && p.keys != nil:
			return p, nil, s.beyond(w, "tuning")
		case w.is("with"):
			err = p.drawn(s, words[1:])
			words = nil
		case length > 0 && p.heard.Verdict != "":
			return p, nil, s.slip(w.column, "a second verdict: "+w.text, "put a semicolon between sentences")
		case length > 0:
			words, err = p.verdict(s, verdict, words[:length], words[length:])
		case (p.keys == nil || p.heard.Verdict == "" || p.ahead) && (w.is("above", "below", "all") || isKeys(w.text)):
			words, err = p.which(s, words)
		case w.is("and") && p.keys != nil && (p.heard.Verdict == "" || p.ahead) && len(words) > 1 && isKeys(words[1].text):
			words = words[1:]
		case w.is(",", "and", "but") && p.heard.Verdict != "" && (len(p.about) > 0 || len(before.about) > 0) && saysMore(words[1:]):
			return p, words[1:], p.whole(s, before)
		case w.fills() && (len(p.about) == 0 || p.heard.Verdict != "" || w.is(",")):
			words = words[1:]
		case p.heard.Verdict == "" || p.ahead:
			p.about, words = append(p.about, w), words[1:]
		default:
			return p, nil, s.slip(w.column, "unexpected "+w.text, "behind a verdict stand keys, or with and what is drawn")
		}
	}
	if err == nil {
		err = p.whole(s, before)
	}
	return p, nil, err
}

// saysMore reports whether words have a verdict.
func saysMore(words []word) bool {
	for i := range words {
		if words[i].is("with") {
			return false
		}
		if _, length := phrase(words[i:]); length > 0 {
			return true
		}
	}
	return false
}

// whole completes a sentence, or says what it lacks.
func (p *said) whole(s sentence, before said) error {
	if len(p.about) == 0 && p.keys != nil {
		if p.about = before.about; p.with == nil {
			p.with, p.undrawn = before.with, before.undrawn
		}
	}
	last := word{}
	if n := len(p.about); n > 0 {
		last = p.about[n-1]
	}
	switch {
	case p.heard.Verdict == "" && p.keys != nil && last.column > p.from.column && !bare(last.text):
		return s.slip(last.column, "no verdict: "+last.text, noVerdict(p.about, s.example))
	case p.heard.Verdict == "":
		return s.slip(s.end, "no verdict", noVerdict(p.about, s.example))
	case len(p.about) == 0:
		return s.slip(s.words[0].column, "what is meant is missing", "name a keyboard or a stop, like "+strings.Replace(s.example, "dead", p.heard.String(), 1))
	case p.heard.Verdict == swapped && (len(p.named) != 2 || !p.named[0].single() || !p.named[1].single()):
		return s.slip(s.end, "which two keys?", "name two, like "+strings.Replace(s.example, "dead", "and C#4 swapped", 1)+"; of stops, say what a key of each sounds")
	case p.heard.shift != 0 && p.key >= 0:
		p.heard = Heard{Verdict: Sounds, Note: p.key + console.Note(p.heard.shift)}
	case p.bare.text != "" && p.key < 0:
		return s.slip(p.bare.column, "which "+p.bare.text+"?", "write it like "+p.bare.text+"4")
	case p.bare.text != "":
		p.heard.Note = near(p.bare.text, p.key)
	}
	return nil
}

// CanSay is what can be said of what is heard when a key is pressed.
const CanSay = "speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong or ciphers"

// canSay is what can be said in a sentence.
const canSay = "speaks, dead, sounds NOTE, also sounds NOTE, adds nothing, wrong, ciphers or stays on"

// noVerdict is what to do about a sentence without a verdict.
func noVerdict(words []word, example string) string {
	var known []string
	for _, p := range phrases { // but for what would turn a sentence round of which a word is not understood
		if !strings.Contains(p.words, " ") && p.verdict != Speaks && p.verdict != Sounds {
			known = append(known, strings.Split(p.words, "|")...)
		}
	}
	for i := len(words) - 1; i > 0; i-- {
		if fix := finding.DidYouMean(strings.ToLower(words[i].text), known); fix != "" && len(words[i].text) > 2 {
			return fix
		}
	}
	for i := len(words) - 1; i > 0; i-- {
		if bare(words[i].text) && !words[i].fills() {
			return "say which " + words[i].text + ", like " + words[i].text + "4, and " + canSay
		}
	}
	return "say " + canSay + ", like " + example
}

// isKeys reports whether a word is a key, or a range of them: a bare number is none.
func isKeys(text string) bool {
	from, _, _ := strings.Cut(text, "..")
	_, err := console.ParseNote(from)
	return err == nil && (from[0] < '0' || from[0] > '9')
}

// verdict reads what stands behind a verdict that belongs to it.
func (p *said) verdict(s sentence, v Verdict, by, words []word) ([]word, error) {
	p.ahead = len(p.about) == 0
	if v == Speaks && p.keys != nil && by[0].is("speaks") && len(words) > 0 && words[0].single() {
		v = Sounds // C2 speaks C3
	}
	if p.heard.Verdict = v; v != Sounds && v != Also {
		return words, nil
	}
	if shift, far := interval(words); far > 0 && v == Sounds {
		p.heard.shift, p.note = shift, words[0]
		return words[far:], nil
	}
	if len(words) > 1 && words[0].fills() {
		words = words[1:]
	}
	if len(words) > 0 && words[0].is("wrong") {
		p.heard.Verdict = Wrong
		return words[1:], nil
	}
	if len(words) == 0 {
		return nil, s.slip(s.end, "the note that sounds is missing", "write it like "+by[0].text+" D4")
	}
	if bare(words[0].text) {
		p.bare = words[0]
		return words[1:], nil
	}
	n, err := console.ParseNote(words[0].text)
	if err != nil {
		return nil, s.slip(words[0].column, err.Error(), "name the key that should sound like that; or write wrong")
	}
	p.heard.Note, p.note = n, words[0]
	return p.besides(s, words[1:])
}

// besides reads what stands behind a note that sounds: and another, or instead of which.
func (p *said) besides(s sentence, words []word) ([]word, error) {
	switch {
	case begins(words, "instead of KEY") > 0 && p.keys == nil:
		p.instead = words[2]
		rest, err := p.which(s, words[2:])
		return rest, err
	case begins(words, "instead of KEY") > 0:
		if n, _ := console.ParseNote(words[2].text); n != p.key {
			return nil, s.slip(words[2].column, "instead of "+words[2].text+"?", "name the key that was pressed, and what it sounds")
		}
		return words[3:], nil
	case begins(words, "and KEY") > 0 && !saysMore(words[1:]):
		n, _ := console.ParseNote(words[1].text)
		switch {
		case p.heard.Verdict == Sounds && p.heard.Note == p.key:
			p.heard, p.note = Heard{Verdict: Also, Note: n}, words[1]
		case p.heard.Verdict == Sounds && n == p.key:
			p.heard.Verdict = Also
		default:
			return nil, s.slip(words[1].column, "two notes besides the key", "say wrong")
		}
		return words[2:], nil
	}
	return words, nil
}

// which reads keys that are meant, besides those so far.
func (p *said) which(s sentence, words []word) ([]word, error) {
	w, before := words[0], p.keys
	also := func(keys func(console.Note) bool, one console.Note) {
		p.named = append(p.named, w)
		if p.from, p.keys, p.key = w, keys, one; before != nil {
			p.keys, p.key = func(n console.Note) bool { return before(n) || keys(n) }, -1
		}
	}
	if w.is("all") {
		also(func(console.Note) bool { return true }, -1)
		return words[1:], nil
	}
	if w.is("above", "below") {
		if len(words) < 2 {
			return nil, s.slip(s.end, w.text+" which key?", "write it like "+w.text+" C5")
		}
		n, err := console.ParseNote(words[1].text)
		if err != nil {
			return nil, s.slip(words[1].column, err.Error(), "")
		}
		w.text += " " + n.String()
		up := words[0].is("above")
		also(func(k console.Note) bool { return up && k > n || !up && k < n }, -1)
		return words[2:], nil
	}
	span, err := console.ParseSpan(w.text)
	if err != nil {
		return nil, s.slip(w.column, err.Error(), "")
	}
	one := span.From
	if span.From != span.To {
		one = -1
	}
	also(span.Has, one)
	return words[1:], nil
}

// drawn reads what is drawn: names with commas or and between them, or nothing.
func (p *said) drawn(s sentence, words []word) error {
	if p.undrawn = len(words) > 0 && (words[0].is("nothing", "none") || len(words) > 1 && words[0].is("no") && words[1].is("stop", "stops")); p.undrawn {
		return nil
	}
	var name []word
	for _, w := range append(words, word{",", s.end}) {
		switch {
		case !w.is(",", "and", "drawn"):
			name = append(name, w)
		case len(name) > 0:
			p.with, name = append(p.with, name), nil
		}
	}
	if len(p.with) == 0 {
		return s.slip(s.end, "with what?", "name what is drawn, like with great-principal-8")
	}
	return nil
}

// Answered reads an answer to a question: a verdict, as in a sentence, of the key that
// was pressed; -1 for none, of which is said whether something sounds.
func Answered(text string, pressed console.Note) (Heard, error) {
	p := said{key: pressed}
	list := sentences(text)
	if len(list) != 1 {
		return p.heard, &Slip{text, 1, "one answer is wanted", "say " + CanSay}
	}
	s := list[0]
	words := slices.DeleteFunc(joined(s.words), func(w word) bool { return w.is("it", "is") })
	if pressed < 0 && len(words) > 0 && words[0].is("sounds", "plays", "speaks", "yes") {
		if verdict, _ := phrase(words); verdict != Dead {
			return Heard{Verdict: Ciphers}, nil
		}
	}
	end := slices.IndexFunc(words, func(w word) bool { return w.is(",") })
	if end < 0 {
		end = len(words)
	}
	if err := s.outside(words[:end]); err != nil {
		return p.heard, err
	}
	if _, far := interval(words); far > 0 {
		words = append([]word{{"sounds", words[0].column}}, words...)
	}
	verdict, length := phrase(words)
	if verdict == hangs {
		verdict = Ciphers
	}
	if length == 0 || verdict == Stays || verdict == swapped {
		if len(words) == 1 && (isKeys(words[0].text) || bare(words[0].text)) {
			return p.heard, s.slip(words[0].column, "no answer: "+words[0].text, "say sounds "+words[0].text+", or also sounds "+words[0].text)
		}
		return p.heard, s.slip(s.words[0].column, "no answer: "+s.words[0].text, strings.Replace(noVerdict(append([]word{{}}, s.words...), "dead"), canSay, CanSay, 1))
	}
	rest, err := p.verdict(s, verdict, words[:length], words[length:])
	if err == nil && len(rest) > 0 && (!rest[0].is(",") || says(rest[1:], verdict)) {
		err = s.slip(rest[0].column, "unexpected "+rest[0].text, "say "+CanSay)
	}
	if p.bare.text != "" {
		p.heard.Note = near(p.bare.text, pressed)
	}
	if p.heard.shift != 0 {
		p.heard = Heard{Verdict: Sounds, Note: pressed + console.Note(p.heard.shift)}
	}
	return p.heard, err
}

// says reports whether words have another verdict than one.
func says(words []word, but Verdict) bool {
	for i := range words {
		if verdict, length := phrase(words[i:]); length > 0 && verdict != but {
			return true
		}
	}
	return false
}
