package mapping

import (
	"fmt"
)

// A rule is offered after so many of a kind, one after another, have messages
// with numbers that rise evenly.
const evidence = 3

// Rule is the rule that what was learned last suggests for those of its kind
// that come next, "" when it suggests none.
func (l *Learner) Rule() string {
	run, rest := l.run()
	if rest == nil || l.trial != nil {
		return ""
	}
	return fmt.Sprintf("%s are %s; the rule goes on with %s", l.span(run[0].Thing, run[len(run)-1].Thing), phrases(run)[0], l.span(rest[0], rest[len(rest)-1]))
}

// span names one thing, or the first and the last of several.
func (l *Learner) span(first, last Thing) string {
	if first == last {
		return first.Name(l.in)
	}
	return first.Name(l.in) + " to " + last.Name(l.in)
}

// run is what was learned last and is a run, and what its rule would map.
func (l *Learner) run() (run []Entry, rest []Thing) {
	next, more := l.thing()
	if !more || len(l.heard) > 0 || next.Kind != Control && next.Kind != Button {
		return nil, nil
	}
	for i := l.at - 1; i >= 0; i-- {
		t := l.wanted[i]
		if len(l.made[t]) != 1 || !l.alike(t, next) || t.Index != next.Index-(l.at-i) {
			break
		}
		longer := append([]Entry{l.made[t][0]}, run...)
		if phrases(longer) == nil {
			break
		}
		run = longer
	}
	if len(run) < evidence || len(run) == l.refused {
		return nil, nil
	}
	for i := l.at; i < len(l.wanted); i++ {
		t := l.wanted[i]
		if !l.alike(t, next) || t.Index != next.Index+(i-l.at) {
			break
		}
		if _, err := l.predict(run, len(run)+i-l.at); err != nil {
			break
		}
		rest = append(rest, t)
	}
	return run, rest
}

// alike reports whether two things are of one kind: two stops, two generals.
func (l *Learner) alike(a, b Thing) bool {
	if a.Kind != b.Kind {
		return false
	}
	if a.Kind == Button {
		list := buttons(l.in)
		return list[a.Index].Kind == list[b.Index].Kind && list[a.Index].Toe == list[b.Index].Toe
	}
	return l.in.Controls[a.Index].Kind == l.in.Controls[b.Index].Kind
}

// predict is the messages of the nth of a run.
func (l *Learner) predict(run []Entry, n int) (forms [ways]*form, err error) {
	texts := phrases(run)
	next := func() (shape, error) {
		p, err := parsePhrase(texts[0])
		texts = texts[1:]
		if err != nil {
			return shape{}, err
		}
		return p.nth(n)
	}
	for way, f := range run[0].forms {
		if f == nil {
			continue
		}
		it := *f
		if it.on, err = next(); err == nil && f.manner == apart {
			it.off, err = next()
		}
		if err != nil {
			return forms, err
		}
		forms[way] = &it
	}
	return forms, nil
}

// TakeRule takes the rule that is offered, once the last thing that it maps
// has been worked. It reports false when none is offered.
func (l *Learner) TakeRule() bool {
	run, rest := l.run()
	if rest == nil {
		return false
	}
	l.trial, l.forms = rest, nil
	for i, t := range rest {
		forms, _ := l.predict(run, len(run)+i) // it was predicted before
		l.forms = append(l.forms, Entry{Thing: t, forms: forms})
	}
	return true
}

// refuse leaves the rule, and does not offer it again for the same run.
func (l *Learner) refuse() {
	run, _ := l.run()
	l.trial, l.forms, l.refused = nil, nil, len(run)
}

// try holds the rule to what the last thing that it maps says.
func (l *Learner) try(g gesture) []string {
	last := l.forms[len(l.forms)-1]
	want := last.forms[ToOrgan].on
	if want.hole != open && want.hole < len(g.body) {
		g.value, g.shape = int(g.body[want.hole]), g.opened(want.hole)
	}
	switch {
	case g.value < half:
		return nil
	case g.shape != want && g.fixed() != want:
		l.refuse()
		return []string{fmt.Sprintf("%s is heard, and the rule has %s: it is left", g.shape, want)}
	}
	for i, t := range l.trial {
		l.made[t] = []Entry{l.forms[i]}
	}
	if collides := l.build(l.trial...); collides != "" {
		for _, t := range l.trial {
			delete(l.made, t)
		}
		l.build()
		l.refuse()
		return []string{collides + ": the rule is left"}
	}
	said := l.span(l.trial[0], last.Thing) + ": by the rule"
	for range l.trial {
		l.past = append(l.past, l.at)
		l.at++
	}
	l.trial, l.forms = nil, nil
	return []string{said}
}
