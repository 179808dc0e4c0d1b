package listen

import (
	"slices"
	"strings"
	"unicode"

	"trundle/console"
	"trundle/console/finding"
)

// Slip is what is wrong with a sentence, and where in it.
type Slip struct {
	Text   string
	Column int // from 1, in characters
	Wrong  string
	Fix    string // may be empty
}

func (s *Slip) Error() string { return s.Wrong }

// word is a word of a sentence, and the column it begins in.
type word struct {
	text   string
	column int
}

// is reports whether a word is one of some.
func (w word) is(some ...string) bool { return slices.Contains(some, strings.ToLower(w.text)) }

// sentence is a part of a text between semicolons.
type sentence struct {
	text    string // the whole
	words   []word
	end     int // the column behind it
	example string
}

// sentences takes a text apart. great:C4 is two words, as great C4 is.
func sentences(text string) []sentence {
	var list []sentence
	var words []word
	begin, runes := -1, []rune(text)
	close := func(end int) {
		if begin >= 0 {
			words = append(words, word{string(runes[begin:end]), begin + 1})
			begin = -1
		}
	}
	for i, r := range runes {
		switch {
		case r == ';' || r == '\n':
			close(i)
			if len(words) > 0 {
				list = append(list, sentence{text: text, words: words, end: i + 1})
			}
			words = nil
		case r == ',':
			close(i)
			words = append(words, word{",", i + 1})
		case r == '’':
			runes[i] = '\''
		case unicode.IsSpace(r) || r == ':' || r == '!' || r == '?' || r == '.' && (i+1 == len(runes) || unicode.IsSpace(runes[i+1])):
			close(i)
		case begin < 0:
			begin = i
		}
	}
	close(len(runes))
	if len(words) > 0 {
		list = append(list, sentence{text: text, words: words, end: len(runes) + 1})
	}
	return list
}

// less is a sentence as it is written, without the rest of it.
func (s sentence) less(rest []word) string {
	words := s.words
	if len(rest) > 0 {
		words = words[:slices.IndexFunc(words, func(w word) bool { return w.column == rest[0].column })]
	}
	for len(words) > 1 && words[len(words)-1].is(",") {
		words = words[:len(words)-1]
	}
	last := words[len(words)-1]
	return string([]rune(s.text)[words[0].column-1 : last.column-1+len([]rune(last.text))])
}

func (s sentence) slip(column int, wrong, fix string) error {
	return &Slip{s.text, column, wrong, fix}
}

// thing is what a sentence can be about.
type thing struct {
	id, name, place string // place is the division or keyboard it belongs to
	keyboard        int    // None for no keyboard
	control         int    // None for none
	rank            int    // None for none
}

func (l *Listener) things() []thing {
	in, none := l.in, console.None
	var list []thing
	for k, keyboard := range in.Keyboards {
		list = append(list, thing{keyboard.ID, keyboard.Name, "", k, none, none})
	}
	for c, control := range in.Controls {
		t := thing{control.ID, control.Name, "", none, c, none}
		switch control.Kind {
		case console.StopControl:
			t.place = in.Divisions[in.Stops[control.Index].Division].ID
		case console.CouplerControl:
			t.place = in.Divisions[in.Couplers[control.Index].Division].ID
		}
		list = append(list, t)
	}
	for r, rank := range in.Ranks {
		list = append(list, thing{rank.ID, rank.Name, "", none, none, r})
	}
	return list
}

// parts are the words of ids and names: letters and figures.
func parts(texts ...string) []string {
	return strings.FieldsFunc(strings.ToLower(strings.Join(texts, " ")), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsNumber(r) && r != '#'
	})
}

// find is what some words mean: the one thing with that id; else those whose id,
// name and division have all the words. Of several sorts, the stops.
func (l *Listener) find(s sentence, words []word, want func(thing) bool) ([]thing, error) {
	said := strings.ToLower(strings.Join(texts(words), " "))
	var things []thing
	for _, t := range l.things() {
		if want(t) {
			things = append(things, t)
		}
	}
	pick := func(is func(thing) bool) (list []thing) {
		for _, t := range things {
			if is(t) {
				list = append(list, t)
			}
		}
		return list
	}
	list := pick(func(t thing) bool { return slices.Equal(parts(t.id), parts(said)) })
	if len(list) > 1 && list[0].id == said {
		list = list[:1]
	}
	if len(list) == 0 {
		list = pick(func(t thing) bool {
			has := parts(t.id, t.name, t.place)
			return !slices.ContainsFunc(parts(said), func(w string) bool { return !slices.Contains(has, w) })
		})
	}
	if len(list) > 0 {
		return l.sort(list), nil
	}
	if telling := slices.DeleteFunc(slices.Clone(words), word.fills); len(telling) > 0 && len(telling) < len(words) {
		return l.find(s, telling, want)
	}
	return nil, l.unknown(s, words, things)
}

// unknown is a slip at what nothing is called: the first word that no name has, or all.
func (l *Listener) unknown(s sentence, words []word, things []thing) error {
	said := strings.ToLower(strings.Join(texts(words), " "))
	var names, known []string
	for _, t := range things {
		names, known = append(names, t.id, strings.ToLower(t.name)), append(known, parts(t.id, t.name, t.place)...)
	}
	if id := l.inaudible(parts(said)); id != "" {
		return s.slip(words[0].column, id+" is there, and outside what listen models", "say which pipes sound, of keyboards, stops, couplers and ranks")
	}
	longer := slices.DeleteFunc(slices.Clone(names), func(name string) bool { return len(parts(name)) < len(parts(said)) }) // nothing said is left out
	if fix := finding.DidYouMean(said, longer); fix != "" {
		return s.slip(words[0].column, "nothing is called "+strings.Join(texts(words), " "), fix)
	}
	if w := words[len(words)-1]; len(words) > 1 && bare(w.text) && !w.fills() {
		return s.slip(w.column, "which "+w.text+"?", "write it like "+w.text+"4")
	}
	guesses := slices.DeleteFunc(append(slices.Clone(known), names...), func(name string) bool { return len(name) < 3 })
	called, at, fix := strings.Join(texts(words), " "), words[0], ""
	for _, w := range words {
		strange := slices.ContainsFunc(parts(w.text), func(part string) bool {
			return (len(part) > 2 || strings.ContainsAny(part, "0123456789")) && !slices.Contains(known, part)
		})
		if strange && !w.fills() {
			called, at, fix = w.text, w, finding.DidYouMean(strings.ToLower(w.text), guesses)
			break
		}
	}
	if fix == "" {
		fix = "there are " + strings.Join(l.keyboards(), ", ") + ", and stops, couplers and ranks by their names"
	}
	return s.slip(at.column, "nothing is called "+called, fix)
}

// inaudible is the id of what has some words, and does not say which pipes sound; empty
// for none.
func (l *Listener) inaudible(said []string) string {
	ids := []string{}
	for _, c := range l.in.Controls {
		ids = append(ids, c.ID)
	}
	if l.in.Combination != nil {
		for _, b := range l.in.Combination.Buttons {
			ids = append(ids, b.ID)
		}
	}
	for _, s := range l.in.Shoes {
		ids = append(ids, s.ID)
	}
	for _, id := range ids {
		has := parts(id)
		if !slices.ContainsFunc(said, func(w string) bool { return !slices.Contains(has, w) }) {
			return id
		}
	}
	return ""
}

// texts are words as they are written.
func texts(words []word) (list []string) {
	for _, w := range words {
		list = append(list, w.text)
	}
	return list
}

func (l *Listener) keyboards() (ids []string) {
	for _, k := range l.in.Keyboards {
		ids = append(ids, k.ID)
	}
	return ids
}

// sort keeps the things of the first sort there is: keyboards, stops, other
// controls, ranks.
func (l *Listener) sort(list []thing) []thing {
	order := func(t thing) int {
		switch {
		case t.keyboard != console.None:
			return 0
		case t.control != console.None && l.in.Controls[t.control].Kind == console.StopControl:
			return 1
		case t.control != console.None:
			return 2
		}
		return 3
	}
	first := order(slices.MinFunc(list, func(a, b thing) int { return order(a) - order(b) }))
	return slices.DeleteFunc(list, func(t thing) bool { return order(t) != first })
}
