package listen

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"trundle/console"
)

// Inquiry is what was heard, and the mistakes that account for it.
type Inquiry struct {
	Symptoms []Symptom
	Causes   []Cause // the likeliest first: those that account for everything; where none does, for some of it
	Whole    bool    // they account for everything
	l        *Listener
	pool     *pool
	alike    []alike
	drawn    []int          // controls that are drawn
	asked    map[int32]bool // tries that are not to be asked for again
	fine     bool           // the pool is to have all keys
}

// alike are causes, by their places, that all of a pool's tries sound alike with.
type alike struct {
	hearing
	causes []int
	weight float64
}

// Explain finds the single mistakes that account for what was heard.
func (l *Listener) Explain(symptoms []Symptom) *Inquiry {
	q := &Inquiry{Symptoms: symptoms, l: l, Causes: l.causes(symptoms), asked: map[int32]bool{}}
	if q.Whole = len(q.Causes) > 0 && q.Causes[0].all(); q.Whole {
		q.Causes = slices.DeleteFunc(q.Causes, func(c Cause) bool { return !c.all() })
	}
	if cases := symptoms[len(symptoms)-1].cases; len(cases) == 1 {
		q.drawn = cases[0].draw
	}
	return q
}

// hear has the pool of what may be asked, and what each cause would answer. While
// there are very many causes and stops, it has only some of the keys.
func (q *Inquiry) hear() {
	if q.pool != nil {
		return
	}
	q.pool = newPool(q.l)
	if !q.fine && len(q.l.in.Stops)*len(q.Causes) > mostHeard {
		q.pool.stride = coarse
	}
	for _, s := range q.Symptoms {
		for _, c := range s.cases {
			for _, t := range c.tries[:min(1, len(c.tries))] {
				q.pool.notes = append(q.pool.notes, t.Held[0].Note)
			}
		}
	}
	q.pool.plainly()
	for _, s := range q.Symptoms {
		for _, c := range s.cases[:min(mostCoded, len(s.cases))] {
			if len(c.tries) > 0 {
				q.pool.coded(c.tries[0])
			}
		}
	}
	q.group()
}

// What a pool is coarse for: so many stops times causes; and which keys it has.
const (
	mostHeard = 50_000
	coarse    = 12
)

// refine has a pool with all keys, where it has only some and fewer causes are left.
func (q *Inquiry) refine() bool {
	if q.pool.stride <= 1 || len(q.l.in.Stops)*len(q.Causes) > 4*mostHeard {
		return false
	}
	var asked []Try
	for t := range q.asked {
		asked = append(asked, q.pool.tries[t])
	}
	q.pool, q.fine = nil, true
	q.hear()
	q.asked = map[int32]bool{}
	for _, t := range asked {
		q.asked[q.pool.add(t)] = true
	}
	q.group()
	return true
}

// mostCoded is of how many settings of a symptom what is drawn is halved.
const mostCoded = 4

// group puts causes together that sound alike.
func (q *Inquiry) group() {
	q.alike = nil
	places := map[uint64][]int{}
	for i, c := range q.Causes {
		h := q.pool.listen(c.patch)
		print := h.print()
		at := slices.IndexFunc(places[print], func(g int) bool { return q.alike[g].equals(h) })
		g := len(q.alike)
		if at >= 0 {
			g = places[print][at]
		} else {
			q.alike = append(q.alike, alike{hearing: h})
			places[print] = append(places[print], g)
		}
		q.alike[g].causes, q.alike[g].weight = append(q.alike[g].causes, i), q.alike[g].weight+c.Weight
	}
}

// equals reports whether two hearings are alike: the same is said of every try.
func (h hearing) equals(other hearing) bool {
	covers := func(a, b hearing) bool {
		for reg, quiet := range a.quiet {
			if len(quiet) > 0 && len(b.quiet[reg]) == 0 {
				return false
			}
		}
		return true
	}
	return maps.Equal(h.said, other.said) && covers(h, other) && covers(other, h)
}

// print is a number that hearings which are alike have in common, and few others.
func (h hearing) print() uint64 {
	sum := uint64(len(h.said))
	for reg, quiet := range h.quiet {
		if len(quiet) > 0 {
			sum += uint64(reg+1) * 0x9e3779b97f4a7c15
		}
	}
	for t, v := range h.said {
		x := uint64(t)<<24 ^ uint64(v.Note)<<8 ^ uint64(len(v.Verdict))<<4 ^ uint64(v.Verdict[0])
		x ^= x >> 31 // a step of the mixer that Steele, Lea and Flood give for SplitMix, 2014
		x *= 0x7fb5d329728ea185
		sum += x ^ x>>27
	}
	return sum
}

// Question is a key to press, and what each answer would mean.
type Question struct {
	Try
	Turn    []int // controls to draw or push in, from what is drawn
	Loud    bool  // a reed is drawn
	Answers []Meaning
	Bits    float64 // that the answer is worth, at an average
	try     int32
}

// Meaning is an answer, and the causes that remain with it, by their places.
type Meaning struct {
	Heard  Heard
	Causes []int
	Weight float64
}

// Next is the question whose answer tells most, by the weights of the causes; of
// those that are worth about the same the one with the fewest controls to move.
// False when nothing that can be played tells those that are left apart, as far
// as a search knows.
func (q *Inquiry) Next() (Question, bool) {
	q.hear()
	question, is := q.best()
	if !is && q.refine() {
		question, is = q.best()
	}
	if !is && q.showApart() {
		question, is = q.best()
	}
	return question, is
}

// best is the best question of the pool.
func (q *Inquiry) best() (Question, bool) {
	total := 0.0
	said := map[int32]map[Heard]float64{}        // by try: the weight of each answer, but for speaks and ciphers
	ciphers := make([]float64, len(q.pool.regs)) // by registration
	for _, a := range q.alike {
		total += a.weight
		for reg, quiet := range a.quiet {
			if len(quiet) > 0 {
				ciphers[reg] += a.weight
			}
		}
		for t, v := range a.said {
			if said[t] == nil {
				said[t] = map[Heard]float64{}
			}
			said[t][v] += a.weight
		}
	}
	best, most := Question{try: -1}, 0.0
	for t, try := range q.pool.tries {
		cipher := ciphers[q.pool.reg[t]]
		if q.asked[int32(t)] || said[int32(t)] == nil && cipher == 0 {
			continue
		}
		bits := information(said[int32(t)], cipher, total)
		turn := moved(q.drawn, try.Draw)
		cost := float64(len(turn))
		if q.l.hard(try.Draw) {
			cost += 2
		}
		worth := math.Round(bits*worthAbout)/worthAbout - cost/1e3
		if bits <= 1e-9 || best.try >= 0 && worth <= most {
			continue
		}
		if worth -= idleCosts * float64(q.idle(int32(t))); best.try < 0 || worth > most {
			best, most = Question{Try: try, Turn: turn, Bits: bits, try: int32(t)}, worth
		}
	}
	if best.try < 0 {
		return best, false
	}
	best.Loud = slices.ContainsFunc(best.Draw, q.l.loud)
	best.Answers = q.meanings(best.try)
	return best, true
}

// idleCosts is how many bits a control has to be worth that is drawn and should change
// nothing: a person has to seek it. Common practice, no source.
const idleCosts = 0.1

// idle is how many of the controls that are drawn in a try should change nothing in it.
func (q *Inquiry) idle(t int32) (n int) {
	try := q.pool.tries[t]
	for _, c := range try.Draw {
		if slices.Equal(q.pool.open[t], q.l.should(try.less(c))) {
			n++
		}
	}
	return n
}

// worthAbout is how many steps a bit has, in which answers are worth the same.
const worthAbout = 10

// hard reports whether an ear has a hard time with what is drawn: a reed, or
// several rows of pipes at a time. Common practice, no source.
func (l *Listener) hard(draw []int) bool {
	return slices.ContainsFunc(draw, func(c int) bool {
		control := l.in.Controls[c]
		return l.loud(c) || control.Kind == console.StopControl && slices.ContainsFunc(l.in.Stops[control.Index].Takes, func(t console.Take) bool {
			return len(l.in.Ranks[t.Rank].Breaks) > 0
		})
	})
}

// information is how many bits an answer is worth, when so much of a total
// weight gives each, so much that it ciphers, and the rest another (Shannon 1948).
func information(by map[Heard]float64, ciphers, total float64) float64 {
	rest, bits := total-ciphers, 0.0
	add := func(w float64) {
		if w > 1e-12*total {
			bits -= w / total * math.Log2(w/total)
		}
	}
	for _, w := range slices.Sorted(maps.Values(by)) { // in an order, since sums of floating point depend on it
		add(w)
		rest -= w
	}
	add(ciphers)
	add(rest)
	return bits
}

// moved are the controls in which two registrations differ.
func moved(a, b []int) []int {
	var list []int
	for _, c := range slices.Concat(a, b) {
		if slices.Contains(a, c) != slices.Contains(b, c) {
			list = append(list, c)
		}
	}
	return list
}

// meanings are the answers to a try, the likeliest first.
func (q *Inquiry) meanings(try int32) []Meaning {
	var list []Meaning
	for _, a := range q.alike {
		v := a.of(try)
		at := slices.IndexFunc(list, func(m Meaning) bool { return m.Heard == v })
		if at < 0 {
			at = len(list)
			list = append(list, Meaning{Heard: v})
		}
		list[at].Causes, list[at].Weight = append(list[at].Causes, a.causes...), list[at].Weight+a.weight
	}
	for _, m := range list {
		slices.Sort(m.Causes)
	}
	slices.SortStableFunc(list, func(a, b Meaning) int { return cmp.Compare(b.Weight, a.Weight) })
	return list
}

// Answer keeps the causes that agree with an answer, which is taken as exact: who
// says wrong has heard none of the keys. Where it adds nothing, that is the last of
// what is drawn that moves keys, or else of what sounds. False, and all are kept, when
// none does.
func (q *Inquiry) Answer(of Question, heard Heard) bool {
	switch {
	case len(of.Held) == 0 && slices.Contains([]Verdict{Speaks, Dead, Nothing}, heard.Verdict):
		heard = Heard{Verdict: Speaks}
	case len(of.Held) == 0:
		heard = Heard{Verdict: Ciphers}
	case heard.Verdict == Nothing:
		heard = q.pool.without(of.try, q.l.adds(of.Draw))
	}
	q.drawn, q.asked[of.try] = of.Draw, true
	keep := make([]bool, len(q.Causes))
	for _, a := range q.alike {
		for _, c := range a.causes {
			keep[c] = heard == a.of(of.try)
		}
	}
	if !slices.Contains(keep, true) {
		return false
	}
	var causes []Cause
	for i, c := range q.Causes {
		if keep[i] {
			causes = append(causes, c)
		}
	}
	q.Causes = causes
	q.group()
	return true
}

// adds is the control of some that adds to what sounds: one that moves keys, or else a
// stop.
func (l *Listener) adds(draw []int) int {
	adds := console.None
	for _, c := range draw {
		kind := l.in.Controls[c].Kind
		if l.plays(c) && (kind != console.StopControl || adds == console.None || l.in.Controls[adds].Kind == console.StopControl) {
			adds = c
		}
	}
	return adds
}

// Skip asks for something else.
func (q *Inquiry) Skip(of Question) { q.asked[of.try] = true }

// Unnamed is what is said of a cipher without the key that sounds so, where that would
// tell many causes apart.
func (q *Inquiry) Unnamed() (s Symptom, is bool) {
	at := slices.IndexFunc(q.Symptoms, func(s Symptom) bool { return s.unnamed })
	if at < 0 || len(q.Causes) == 1 {
		return s, false
	}
	return q.Symptoms[at], true
}

// Copy is an inquiry as it stands, to come back to.
func (q *Inquiry) Copy() *Inquiry {
	c := *q
	c.asked = maps.Clone(q.asked)
	return &c
}

// Words are an answer to a question as a person says it.
func (q Question) Words(h Heard) string {
	if len(q.Held) == 0 && h.Verdict == Speaks {
		return "silent"
	}
	return h.String()
}
