package listen

import (
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// verdicts are the words for what is heard.
var verdicts = map[string]Verdict{
	"speaks": Speaks, "good": Speaks, "dead": Dead, "silent": Dead, "sounds": Sounds, "also": Also,
	"wrong": Wrong, "ciphers": Ciphers, "cipher": Ciphers,
}

// said is a sentence as it reads.
type said struct {
	about []word
	from  word // of the keys, for what is wrong with them
	keys  func(n console.Note) bool
	heard Heard
	with  [][]word
}

// parse takes a sentence apart.
func parse(s sentence) (said, error) {
	p := said{}
	words := s.words
	for len(words) > 0 {
		w := words[0]
		lower := strings.ToLower(w.text)
		verdict, isVerdict := verdicts[lower]
		var err error
		switch {
		case isVerdict && p.heard.Verdict != "":
			return p, s.slip(w.column, "a second verdict: "+w.text, "put a semicolon between sentences")
		case isVerdict:
			words, err = p.verdict(s, verdict, words)
		case w.is("with"):
			err = p.drawn(s, words[1:])
			words = nil
		case len(p.about) > 0 && p.keys == nil && (w.is("above", "below", "all") || isKeys(w.text)):
			words, err = p.which(s, words)
		case p.heard.Verdict == "":
			p.about, words = append(p.about, w), words[1:]
		default:
			return p, s.slip(w.column, "unexpected "+w.text, "behind a verdict stand keys, or with and what is drawn")
		}
		if err != nil {
			return p, err
		}
	}
	switch {
	case p.heard.Verdict == "":
		return p, s.slip(s.end, "no verdict", noVerdict(p.about))
	case len(p.about) == 0:
		return p, s.slip(s.words[0].column, "what is meant is missing", "name a keyboard or a stop first, like great C4 dead")
	}
	return p, nil
}

// noVerdict is what to do about a sentence without a verdict.
func noVerdict(words []word) string {
	known := []string{"speaks", "good", "dead", "silent", "sounds", "wrong", "ciphers"}
	for i := len(words) - 1; i > 0; i-- {
		if fix := finding.DidYouMean(strings.ToLower(words[i].text), known); fix != "" {
			return fix
		}
	}
	return "end it with speaks, dead, sounds NOTE, also sounds NOTE, wrong or ciphers"
}

// isKeys reports whether a word is a key, or a range of them: a bare number is none.
func isKeys(text string) bool {
	from, _, _ := strings.Cut(text, "..")
	_, err := console.ParseNote(from)
	return err == nil && (from[0] < '0' || from[0] > '9')
}

func (p *said) verdict(s sentence, v Verdict, words []word) ([]word, error) {
	p.heard.Verdict = v
	at := words[0]
	words = words[1:]
	if v == Also {
		if len(words) == 0 || !words[0].is("sounds") {
			return nil, s.slip(at.column, "also what?", "write also sounds NOTE")
		}
		words = words[1:]
	}
	if v != Sounds && v != Also {
		return words, nil
	}
	if len(words) == 0 {
		return nil, s.slip(s.end, "the note that sounds is missing", "write it like sounds D4")
	}
	if words[0].is("wrong") {
		p.heard.Verdict = Wrong
		return words[1:], nil
	}
	n, err := console.ParseNote(words[0].text)
	if err != nil {
		return nil, s.slip(words[0].column, err.Error(), "name the key that should sound like that; or write wrong")
	}
	p.heard.Note = n
	return words[1:], nil
}

// which reads the keys that are meant.
func (p *said) which(s sentence, words []word) ([]word, error) {
	w := words[0]
	p.from = w
	if w.is("all") {
		p.keys = func(console.Note) bool { return true }
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
		p.keys = func(k console.Note) bool { return w.is("above") && k > n || w.is("below") && k < n }
		return words[2:], nil
	}
	span, err := console.ParseSpan(w.text)
	if err != nil {
		return nil, s.slip(w.column, err.Error(), "")
	}
	p.keys = span.Has
	return words[1:], nil
}

// drawn reads what is drawn: names with commas or and between them.
func (p *said) drawn(s sentence, words []word) error {
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

// Answered reads an answer to a question: a verdict, as in a sentence.
func Answered(text string) (Heard, error) {
	p := said{}
	list := sentences(text)
	if len(list) != 1 {
		return p.heard, &Slip{text, 1, "one answer is wanted", noVerdict(nil)}
	}
	s := list[0]
	verdict, is := verdicts[strings.ToLower(s.words[0].text)]
	if !is {
		return p.heard, s.slip(s.words[0].column, "no answer: "+s.words[0].text, noVerdict(append([]word{{}}, s.words...)))
	}
	rest, err := p.verdict(s, verdict, s.words)
	if err == nil && len(rest) > 0 {
		err = s.slip(rest[0].column, "unexpected "+rest[0].text, "")
	}
	return p.heard, err
}
