package listen

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// verdicts are the words for what is heard.
var verdicts = map[string]Verdict{
	"speaks": Speaks, "good": Speaks, "dead": Dead, "silent": Dead, "sounds": Sounds, "also": Also,
	"wrong": Wrong, "ciphers": Ciphers, "cipher": Ciphers,
}

// Read reads what was heard: sentences with semicolons between them. A sentence
// is about a keyboard, stop, coupler or rank, and keys of it:
//
//	great C#4 sounds D4
//	flute dead above C5
//	choir-to-great-8 C3..C4 dead with choir-viola-8
//
// The keys, KEY, KEY..KEY, above KEY, below KEY or all, stand before the verdict
// or behind it; above and below leave the key itself out. A key is the key that
// is pressed, alone. Of each key that is named the sentence holds, and it says
// nothing of others. Where none is named all are meant, but for wrong and
// ciphers: some.
//
// What is drawn is what stands behind with, besides the stop or coupler itself.
// Without it, that is a stop alone; of a keyboard, some stop of its divisions
// alone; of a coupler, with some stop of the division it plays; of a rank, some
// stop that takes it. A name may be an id, a name, or words of both; when it
// fits several stops, some of them. Ventils are drawn that give wind to what is.
//
// The verdicts: speaks (good): what should sound does, and nothing else. dead
// (silent): something should, and nothing does. sounds NOTE: what key NOTE should
// sound, and nothing else. also sounds NOTE: all that should, and what key NOTE
// should. wrong: something sounds, and it is not what should. ciphers: it sounds
// while no key is pressed.
func (l *Listener) Read(text string) ([]Symptom, error) {
	var list []Symptom
	for _, s := range sentences(text) {
		symptom, err := l.read(s)
		if err != nil {
			return nil, err
		}
		list = append(list, symptom)
	}
	if len(list) == 0 {
		return nil, &Slip{text, 1, "nothing is said", "write it like great C#4 sounds D4"}
	}
	return list, nil
}

// said is a sentence as it reads.
type said struct {
	about []word
	from  word // of the keys, for what is wrong with them
	keys  func(n console.Note) bool
	heard Heard
	with  [][]word
}

func (l *Listener) read(s sentence) (Symptom, error) {
	p, err := parse(s)
	if err != nil {
		return Symptom{}, err
	}
	first, last := s.words[0].column, s.words[len(s.words)-1]
	runes := []rune(s.text)
	x := Symptom{Text: string(runes[first-1 : last.column-1+len([]rune(last.text))]), Heard: p.heard}
	x.some, x.unasked = p.keys == nil && p.heard.Verdict == Wrong, p.heard.Verdict == Ciphers
	things, err := l.find(s, p.about, func(t thing) bool { return t.control == console.None || l.plays(t.control) })
	if err != nil {
		return x, err
	}
	with, err := l.with(s, p)
	if err != nil {
		return x, err
	}
	for _, t := range things {
		x.cases = append(x.cases, l.settings(t, with, len(p.with) > 0)...)
	}
	return x, l.choose(s, p, &x)
}

// plays reports whether a control is a stop, or moves keys.
func (l *Listener) plays(control int) bool {
	switch l.in.Controls[control].Kind {
	case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
		return true
	}
	return false
}

// with are the controls that a sentence says are drawn.
func (l *Listener) with(s sentence, p said) (controls []int, err error) {
	for _, words := range p.with {
		things, err := l.find(s, words, func(t thing) bool { return t.control != console.None })
		if err != nil {
			return nil, err
		}
		if len(things) > 1 {
			return nil, s.slip(words[0].column, fmt.Sprintf("this may be %s or %s", things[0].id, things[1].id), "name one")
		}
		controls = append(controls, things[0].control)
	}
	return controls, nil
}

// settings are the ways in which a thing may have been tried, with every key.
func (l *Listener) settings(t thing, with []int, exactly bool) (list []setting) {
	in := l.in
	switch {
	case t.keyboard != console.None && exactly:
		return []setting{l.setting(t.keyboard, with...)}
	case t.keyboard != console.None:
		for _, s := range in.Stops {
			if in.Divisions[s.Division].Keyboard == t.keyboard {
				list = append(list, l.setting(t.keyboard, s.Control))
			}
		}
	case t.rank != console.None:
		for s, stop := range in.Stops {
			if l.takes(s, t.rank) {
				list = append(list, l.alone(s, append([]int{stop.Control}, with...)))
			}
		}
	case in.Controls[t.control].Kind == console.StopControl:
		return []setting{l.alone(in.Controls[t.control].Index, append([]int{t.control}, with...))}
	default:
		i := slices.IndexFunc(l.movers(), func(m mover) bool { return m.control == t.control })
		m := l.movers()[i]
		for _, k := range m.keyboards {
			if exactly {
				list = append(list, l.setting(k, append([]int{t.control}, with...)...))
				continue
			}
			for _, s := range in.Stops {
				if slices.Contains(m.division, s.Division) {
					list = append(list, l.setting(k, t.control, s.Control))
				}
			}
		}
	}
	return list
}

// setting is controls, and every key of a keyboard.
func (l *Listener) setting(keyboard int, controls ...int) setting {
	s := setting{draw: l.draws(controls...)}
	keys := l.in.Keyboards[keyboard].Keys
	for n := keys.From; n <= keys.To; n++ {
		s.tries = append(s.tries, Try{s.draw, l.press(keyboard, n)})
	}
	return s
}

// alone is a stop with other controls, and every key of its division's keyboard;
// where that has none, of the one by which it is reached, with its coupler.
func (l *Listener) alone(stop int, controls []int) setting {
	d := l.in.Stops[stop].Division
	if home := l.in.Divisions[d].Keyboard; home != console.None {
		return l.setting(home, controls...)
	}
	for _, n := range l.notes(stop) {
		if h, coupler, ok := l.reach(d, n, 1); ok {
			return l.setting(h.Keyboard, append(coupler, controls...)...)
		}
	}
	return setting{draw: l.draws(controls...)}
}

// choose keeps the keys that a sentence means: of those it names, the ones that
// should sound, where it says that they do not.
func (l *Listener) choose(s sentence, p said, x *Symptom) error {
	if (p.heard.Verdict == Sounds || p.heard.Verdict == Also) && p.keys == nil {
		return s.slip(p.about[0].column, "sounds tells of one key", "name the key that was pressed, like "+p.about[0].text+" C4 sounds "+p.heard.Note.String())
	}
	should := p.heard.Verdict == Dead || p.heard.Verdict == Sounds || p.heard.Verdict == Also || p.heard.Verdict == Ciphers
	named := false
	var cases []setting
	for _, c := range x.cases {
		tries, beyond := []Try(nil), []Try(nil)
		for i, t := range c.tries {
			is := func(i int) bool {
				return i >= 0 && i < len(c.tries) && (p.keys == nil || p.keys(c.tries[i].Held[0].Note))
			}
			if sounds := !should || len(l.windy(nil, l.m.run(t), airless(l.in, t.Draw))) > 0; is(i) {
				named = true
				if sounds {
					tries = append(tries, t)
				}
			} else if sounds && (is(i-1) || is(i+1)) {
				beyond = append(beyond, t)
			}
		}
		if len(tries) < 2 {
			beyond = nil
		}
		switch {
		case x.unasked && p.keys == nil:
			cases = append(cases, setting{draw: c.draw})
		case len(tries) > 0:
			cases = append(cases, setting{c.draw, tries, beyond})
		}
	}
	switch {
	case len(cases) > 0:
		x.cases = cases
		return nil
	case named || len(x.cases) == 0:
		return s.slip(s.words[0].column, "nothing should sound there", "see it: trundle sound")
	}
	return s.slip(p.from.column, "there is no such key there", "")
}

// press is one key, as deep as it goes.
func (l *Listener) press(k int, n console.Note) []console.Held {
	return []console.Held{{Key: console.Key{Keyboard: k, Note: n}, Deep: l.in.Keyboards[k].Touches == 2}}
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

// which reads which keys are meant.
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
