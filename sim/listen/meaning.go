package listen

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// mostNamed is how many things a meaning names that it may be of.
const mostNamed = 3

// meaning is a sentence as it is understood, in ids, keys and verdicts.
func (l *Listener) meaning(p said, things []thing, with []int) string {
	var ids, drawn []string
	for _, t := range things {
		ids = append(ids, t.id)
	}
	if more := len(ids) - mostNamed; more > 0 {
		ids = append(ids[:mostNamed], fmt.Sprintf("%d more", more))
	}
	parts := []string{strings.Join(ids, " or ")}
	if len(p.named) > 0 {
		parts = append(parts, strings.Join(texts(p.named), ", "))
	}
	parts = append(parts, p.heard.String())
	for _, c := range with {
		drawn = append(drawn, l.in.Controls[c].ID)
	}
	if p.undrawn {
		drawn = []string{"nothing drawn"}
	}
	if len(drawn) > 0 {
		parts = append(parts, "with", strings.Join(drawn, ", "))
	}
	return strings.Join(parts, " ")
}

// each are the sentences that one is: of two keys that are swapped, one of each.
func (p said) each() []said {
	if p.heard.Verdict != swapped {
		return []said{p}
	}
	var list []said
	for i, w := range p.named {
		key, _ := console.ParseNote(w.text)
		other, _ := console.ParseNote(p.named[1-i].text)
		q := p
		q.from, q.named, q.key, q.note = w, []word{w}, key, p.named[1-i]
		q.keys = func(n console.Note) bool { return n == key }
		q.heard = Heard{Verdict: Sounds, Note: other}
		list = append(list, q)
	}
	return list
}

// audible reports whether a thing may change which pipes sound.
func (l *Listener) audible(t thing) bool { return t.control == console.None || l.plays(t.control) }

// moves reports whether a thing moves keys.
func (l *Listener) moves(t thing) bool {
	return t.control != console.None && l.in.Controls[t.control].Kind != console.StopControl
}

// keyboard is the one from which a thing is played, for all that is known: a stop from
// that of its division, a coupler from its own; None for others.
func (l *Listener) keyboard(t thing) int {
	in := l.in
	if t.keyboard != console.None || t.control == console.None {
		return t.keyboard
	}
	if c := in.Controls[t.control]; c.Kind == console.StopControl {
		return in.Divisions[in.Stops[c.Index].Division].Keyboard
	}
	for _, m := range l.movers() {
		if m.control == t.control && len(m.keyboards) > 0 {
			return m.keyboards[0]
		}
	}
	return console.None
}

// widest is all that keyboards have.
func (l *Listener) widest() console.Span {
	all := l.in.Keyboards[0].Keys
	for _, k := range l.in.Keyboards {
		all = console.Span{From: min(all.From, k.Keys.From), To: max(all.To, k.Keys.To)}
	}
	return all
}

// keysOf are the keys of the keyboard that a sentence is about; of several, of the first.
func (l *Listener) keysOf(s sentence, p said) console.Span {
	things, err := l.find(s, p.about, l.audible)
	if err != nil {
		return l.widest()
	}
	for _, t := range things {
		if k := l.keyboard(t); k != console.None {
			return l.in.Keyboards[k].Keys
		}
	}
	return l.widest()
}

// unsilenced is a sentence that says that keys sound as they should without a unison off
// which is drawn, as one about that: it adds nothing.
func (l *Listener) unsilenced(p said, things []thing, with []int, x Symptom) (as said, is bool) {
	if v := p.heard; v.Verdict != Speaks && (v.Verdict != Sounds || v.Note != p.key || v.shift != 0) {
		return p, false
	}
	off := slices.IndexFunc(with, func(c int) bool { return l.in.Controls[c].Kind == console.UnisonOffControl })
	if off < 0 {
		return p, false
	}
	for _, c := range x.cases {
		for _, t := range c.tries {
			if len(l.should(t)) > 0 && (p.keys == nil || p.keys(t.Held[0].Note)) {
				return p, false
			}
		}
	}
	as = p
	as.about, as.with = p.with[off], slices.Delete(slices.Clone(p.with), off, off+1)
	if things[0].control != console.None {
		as.with = append(as.with, p.about)
	}
	as.heard, as.note = Heard{Verdict: Nothing}, word{}
	return as, true
}
