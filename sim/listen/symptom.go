package listen

import (
	"slices"

	"trundle/console"
)

// Symptom is one thing that was heard.
type Symptom struct {
	Text    string // as written
	Meaning string // as it is understood, in the words of the instrument
	Heard   Heard
	cases   []setting
	some    bool // of some of the tries, not of each
	unasked bool // of what sounds while nothing is held: the tries are the keys whose pipes are meant, none for any
	unnamed bool // it ciphers, and no key is named: some pipe does of those that the tries sound
}

// setting is one way in which a symptom may have been met with: what was drawn,
// and what was pressed with it.
type setting struct {
	draw   []int
	tries  []Try
	beyond []Try // keys next to a range that was named
	adds   int   // the stop or coupler that is meant; console.None for none
}

// heardIn is a symptom in a pool, where tries have numbers.
type heardIn struct {
	Symptom
	tries, beyond [][]int32           // of each setting
	regs          []int32             // of each setting
	as            []map[int32][]int32 // of each setting, by try: what sounds where the stop or coupler does nothing, or is on
}

func (p *pool) place(s Symptom) heardIn {
	h := heardIn{Symptom: s}
	for _, c := range s.cases {
		h.tries, h.beyond, h.regs = append(h.tries, p.addAll(c.tries)), append(h.beyond, p.addAll(c.beyond)), append(h.regs, p.registration(c.draw))
		if s.Heard.Verdict != Nothing && s.Heard.Verdict != Stays {
			continue
		}
		as := map[int32][]int32{}
		h.as = append(h.as, as)
		for _, t := range slices.Concat(h.tries[len(h.tries)-1], h.beyond[len(h.beyond)-1]) {
			as[t], p.exact[t] = p.l.should(s.Heard.other(p.tries[t], c.adds)), true
		}
	}
	return h
}

// other is a try as it sounds where a control adds nothing, or stays on.
func (h Heard) other(t Try, control int) Try {
	if h.Verdict == Stays {
		return Try{with(t.Draw, control), t.Held}
	}
	return t.less(control)
}

// without is what an ear would say of a try where a control did nothing.
func (p *pool) without(t int32, control int) Heard {
	try := p.tries[t]
	var keys []opened
	var pressed console.Note
	if len(try.Held) == 1 {
		keys, pressed = p.keysOf(p.reg[t], try.Held[0].Keyboard), try.Held[0].Note
	}
	return judge(p.open[t], p.l.should(try.less(control)), keys, pressed)
}

// means reports whether what a person said of a try of a setting covers what an exact
// ear hears.
func (s heardIn) means(h hearing, setting int, t int32) bool {
	if s.as != nil {
		return !h.ciphers(t) && slices.Equal(s.as[setting][t], h.open(t))
	}
	if shift := s.Heard.shift; shift != 0 {
		return h.of(t) == Heard{Verdict: Sounds, Note: h.p.tries[t].Held[0].Note + console.Note(shift)}
	}
	return s.Heard.means(h.of(t))
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
	for i := range s.tries {
		switch {
		case !s.met(p, h, i):
		case slices.ContainsFunc(s.beyond[i], func(t int32) bool { return s.means(h, i, t) }):
			met += goesOn
		default:
			met++
		}
	}
	return met / float64(len(s.tries))
}

// met reports whether it is met with in one setting.
func (s heardIn) met(p *pool, h hearing, setting int) bool {
	tries, quiet := s.tries[setting], h.quiet[s.regs[setting]]
	is := func(t int32) bool { return s.means(h, setting, t) }
	switch {
	case s.unasked && len(tries) == 0:
		return len(quiet) > 0
	case s.unnamed:
		return slices.ContainsFunc(tries, func(t int32) bool { return both(p.open[t], quiet) < len(p.open[t])+len(quiet) })
	case s.unasked:
		return slices.ContainsFunc(tries, func(t int32) bool { return len(p.open[t]) > 0 && within(p.open[t], quiet) })
	case s.some:
		return slices.ContainsFunc(tries, is)
	}
	return !slices.ContainsFunc(tries, func(t int32) bool { return !is(t) })
}

// bad reports whether a symptom says that something is wrong.
func (s Symptom) bad() bool { return s.Heard.Verdict != Speaks }
