package listen

import "slices"

// Symptom is one thing that was heard.
type Symptom struct {
	Text    string // as written
	Heard   Heard
	cases   []setting
	some    bool // of some of the tries, not of each
	unasked bool // of what sounds while nothing is held: the tries are the keys whose pipes are meant, none for any
}

// setting is one way in which a symptom may have been met with: what was drawn,
// and what was pressed with it.
type setting struct {
	draw   []int
	tries  []Try
	beyond []Try // keys next to a range that was named
}

// heardIn is a symptom in a pool, where tries have numbers.
type heardIn struct {
	Symptom
	tries, beyond [][]int32 // of each setting
	regs          []int32   // of each setting
}

func (p *pool) place(s Symptom) heardIn {
	h := heardIn{Symptom: s}
	for _, c := range s.cases {
		h.tries, h.beyond, h.regs = append(h.tries, p.addAll(c.tries)), append(h.beyond, p.addAll(c.beyond)), append(h.regs, p.registration(c.draw))
	}
	return h
}

func (p *pool) addAll(tries []Try) []int32 {
	var list []int32
	for _, t := range tries {
		list = append(list, p.add(t))
	}
	return list
}

// goesOn is how likely it is that a range was named which ends too early, beside
// others. Common practice, no source.
const goesOn = 0.25

// share is the part of its settings in which a symptom is met with when a pool
// is heard so: how likely it is, where nobody knows which of them it was. One
// that goes on beyond the range that was named counts less.
func (s heardIn) share(p *pool, h hearing) float64 {
	met := 0.0
	for i, tries := range s.tries {
		switch {
		case !s.met(p, h, tries, h.quiet[s.regs[i]]):
		case slices.ContainsFunc(s.beyond[i], func(t int32) bool { return s.Heard.means(h.of(t)) }):
			met += goesOn
		default:
			met++
		}
	}
	return met / float64(len(s.tries))
}

// met reports whether it is met with in one setting, in which so much sounds
// while nothing is held.
func (s heardIn) met(p *pool, h hearing, tries, quiet []int32) bool {
	is := func(t int32) bool { return s.Heard.means(h.of(t)) }
	switch {
	case s.unasked && len(tries) == 0:
		return len(quiet) > 0
	case s.unasked:
		return slices.ContainsFunc(tries, func(t int32) bool { return len(p.open[t]) > 0 && within(p.open[t], quiet) })
	case s.some:
		return slices.ContainsFunc(tries, is)
	}
	return !slices.ContainsFunc(tries, func(t int32) bool { return !is(t) })
}

// bad reports whether a symptom says that something is wrong.
func (s Symptom) bad() bool { return s.Heard.Verdict != Speaks }
