package listen

import (
	"fmt"
	"slices"

	"trundle/console"
)

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
// should. adds nothing, of a stop or coupler: what sounds with it is what should without
// it. wrong: something sounds, and it is not what should. ciphers: it sounds
// while no key is pressed.
func (l *Listener) Read(text string) ([]Symptom, error) {
	var list []Symptom
	var before said
	for _, s := range sentences(text) {
		for s.example = l.example(); len(s.words) > 0; {
			p, rest, err := parse(s, before, l.widest())
			if err == nil { // what a top octave is depends on what it is of
				p, rest, err = parse(s, before, l.keysOf(s, p))
			}
			if err != nil {
				return nil, err
			}
			for _, p := range p.each() {
				symptom, err := l.read(s, p)
				if err != nil {
					return nil, err
				}
				symptom.Text = s.less(rest)
				list = append(list, symptom)
			}
			s.words, before = rest, p
		}
	}
	if len(list) == 0 {
		return nil, &Slip{text, 1, "nothing is said", "write it like " + l.example()}
	}
	return list, nil
}

// example is a sentence about the instrument.
func (l *Listener) example() string {
	k := l.in.Keyboards[0]
	key := (k.Keys.From + k.Keys.To) / 2
	if c := key - key%12; k.Keys.Has(c) {
		key = c
	}
	return k.ID + " " + key.String() + " dead"
}

func (l *Listener) read(s sentence, p said) (x Symptom, err error) {
	things, err := l.find(s, p.about, l.audible)
	if err != nil {
		return x, err
	}
	if l.moves(things[0]) && p.instead.text != "" {
		return x, s.slip(p.instead.column, "instead of "+p.instead.text+"?", "name the key that was pressed, like "+things[0].id+" "+p.instead.text+" "+p.heard.String())
	}
	with, err := l.with(s, p, things)
	if err != nil {
		return x, err
	}
	if p.heard.Verdict == hangs {
		if p.heard.Verdict = Ciphers; p.keys == nil && things[0].keyboard == console.None {
			p.heard.Verdict = Stays
		}
	}
	if p.undrawn && p.heard.Verdict != Ciphers {
		p.heard = Heard{Verdict: p.heard.undrawn()}
	}
	x.Heard, x.some, x.unasked = p.heard, p.keys == nil && p.heard.Verdict == Wrong, p.heard.Verdict == Ciphers
	x.unnamed = x.unasked && p.keys == nil
	if p.heard.Verdict == Nothing && things[0].control == console.None { // it is all that there is
		p.heard.Verdict = Dead
		x.Heard = p.heard
	}
	for _, t := range things {
		for _, c := range l.settings(t, with, len(p.with) > 0) {
			if p.heard.Verdict == Stays || p.undrawn && p.heard.Verdict == Speaks {
				if c.adds == console.None {
					return x, s.slip(p.about[0].column, "which stop stays on?", "name it instead of "+p.about[0].text)
				}
				c = c.less(c.adds)
			}
			if p.undrawn {
				c.draw = Try{Draw: c.draw}.less(c.adds).Draw
			}
			x.cases = append(x.cases, c)
		}
	}
	if as, is := l.unsilenced(p, things, with, x); is {
		return l.read(s, as)
	}
	x.Meaning = l.meaning(p, things, with)
	return x, l.choose(s, p, &x)
}

// undrawn is what it means that something is heard with nothing drawn.
func (h Heard) undrawn() Verdict {
	switch h.Verdict {
	case Speaks, Dead, Nothing:
		return Speaks
	}
	return Stays
}

// less is a setting without a control.
func (c setting) less(control int) setting {
	c.draw, c.tries = Try{Draw: c.draw}.less(control).Draw, slices.Clone(c.tries)
	for i, t := range c.tries {
		c.tries[i] = Try{c.draw, t.Held}
	}
	return c
}

// plays reports whether a control is a stop, or moves keys.
func (l *Listener) plays(control int) bool {
	switch l.in.Controls[control].Kind {
	case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
		return true
	}
	return false
}

// with are the controls that a sentence about some things says are drawn: of several
// that it may be, the one on the same keyboard.
func (l *Listener) with(s sentence, p said, about []thing) (controls []int, err error) {
	for _, words := range p.with {
		things, err := l.find(s, words, func(t thing) bool { return t.control != console.None })
		if err != nil {
			return nil, err
		}
		if near := slices.DeleteFunc(slices.Clone(things), func(t thing) bool { return l.keyboard(t) != l.keyboard(about[0]) }); len(near) == 1 {
			things = near
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
		return []setting{l.setting(t.keyboard, console.None, with...)}
	case t.keyboard != console.None:
		for _, s := range in.Stops {
			if in.Divisions[s.Division].Keyboard == t.keyboard {
				list = append(list, l.setting(t.keyboard, s.Control, s.Control))
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
				list = append(list, l.setting(k, t.control, append([]int{t.control}, with...)...))
				continue
			}
			for _, s := range in.Stops {
				if slices.Contains(m.division, s.Division) {
					list = append(list, l.setting(k, t.control, t.control, s.Control))
				}
			}
		}
	}
	return list
}

// setting is controls, of which one is meant, and every key of a keyboard.
func (l *Listener) setting(keyboard, meant int, controls ...int) setting {
	s := setting{draw: l.draws(controls...), adds: meant}
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
		return l.setting(home, l.in.Stops[stop].Control, controls...)
	}
	for _, n := range l.notes(stop) {
		if h, coupler, ok := l.reach(d, n, 1); ok {
			return l.setting(h.Keyboard, l.in.Stops[stop].Control, append(coupler, controls...)...)
		}
	}
	return setting{draw: l.draws(controls...), adds: l.in.Stops[stop].Control}
}

// choose keeps the keys that a sentence means: of those it names, the ones that
// should sound, where it says that they do not.
func (l *Listener) choose(s sentence, p said, x *Symptom) error {
	if (p.heard.Verdict == Sounds || p.heard.Verdict == Also) && p.keys == nil && p.heard.shift == 0 {
		return s.slip(p.about[0].column, "sounds tells of one key", "name the key that was pressed, like "+p.about[0].text+" C4 "+p.heard.String())
	}
	if keyboard := x.keyboard(); p.note.text != "" && keyboard != console.None && p.heard.shift == 0 && !l.in.Keyboards[keyboard].Keys.Has(p.heard.Note) {
		return s.slip(p.note.column, "no such key: "+p.heard.Note.String(), l.compass(keyboard)+"; where it is none of its keys, say wrong")
	}
	should := func(t Try, adds int) bool { // something should sound there, where it is said that it does not
		switch p.heard.Verdict {
		case Dead, Sounds, Also, Ciphers:
			to := t.Held[0].Note + console.Note(p.heard.shift)
			return len(l.should(t)) > 0 && l.in.Keyboards[t.Held[0].Keyboard].Keys.Has(to)
		case Nothing, Stays:
			return !slices.Equal(l.should(t), l.should(p.heard.other(t, adds)))
		}
		return true
	}
	named := false
	var cases []setting
	for _, c := range x.cases {
		tries, beyond := []Try(nil), []Try(nil)
		for i, t := range c.tries {
			is := func(i int) bool {
				return i >= 0 && i < len(c.tries) && (p.keys == nil || p.keys(c.tries[i].Held[0].Note))
			}
			if sounds := should(t, c.adds); is(i) {
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
		if len(tries) > 0 || x.unnamed {
			cases = append(cases, setting{c.draw, tries, beyond, c.adds})
		}
	}
	switch {
	case len(cases) > 0:
		x.cases = cases
		return nil
	case named || len(x.cases) == 0:
		return s.slip(s.words[0].column, "nothing should sound there", "see it: trundle sound")
	}
	if keyboard := x.keyboard(); keyboard != console.None {
		return s.slip(p.from.column, "no such key: "+p.from.text, l.compass(keyboard))
	}
	return s.slip(p.from.column, "no such key: "+p.from.text, "")
}

// keyboard is the one whose keys are meant, of several the first; None for none.
func (x *Symptom) keyboard() int {
	for _, c := range x.cases {
		if len(c.tries) > 0 {
			return c.tries[0].Held[0].Keyboard
		}
	}
	return console.None
}

// compass is the keys that a keyboard has.
func (l *Listener) compass(keyboard int) string {
	k := l.in.Keyboards[keyboard]
	return k.ID + " has " + k.Keys.String()
}

// press is one key, as deep as it goes.
func (l *Listener) press(k int, n console.Note) []console.Held {
	return []console.Held{{Key: console.Key{Keyboard: k, Note: n}, Deep: l.in.Keyboards[k].Touches == 2}}
}
