package listen

import (
	"cmp"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// session is what became of one mistake that was planted and asked for.
type session struct {
	named   bool // it is among those that are left
	first   bool // and the first of them
	left    int  // names that are left
	began   int  // answers that the causes give to all that may be asked: what there is to tell apart
	asked   int
	inOrder int // keys of the plan, in its order, that tell as much
}

// seek plants nothing: it listens to a relay with a mistake until the plan hears
// it, and asks from there. Answers are those of an ear that hears as the
// definitions read.
func seek(l *Listener, plan Plan, e ear, is func(Cause) bool) (s session, heard bool) {
	first, heard := plan.firstWrong(e)
	if !heard {
		return s, false
	}
	symptom := Symptom{Heard: e.hears(first), cases: []setting{{draw: first.Draw, tries: []Try{first}}}}
	if symptom.unasked = symptom.Heard.Verdict == Ciphers; symptom.unasked {
		symptom.cases[0].tries = nil
	}
	q := l.Explain([]Symptom{symptom})
	if len(q.Causes) == 0 {
		return s, true
	}
	q.hear()
	all := q.Causes
	s.began = len(q.alike)
	for {
		next, more := q.Next()
		if !more {
			break
		}
		if s.asked++; !q.Answer(next, e.hears(next.Try)) {
			return s, true
		}
	}
	for i, c := range q.Causes {
		if is(c) {
			s.named, s.first = true, s.first || i == 0
		}
	}
	var names []string
	for _, c := range q.Causes {
		if name := c.Fault.Class + c.Fault.Where; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	s.left = len(names)
	s.inOrder = inOrder(l, plan, e, all, len(q.Causes))
	return s, true
}

// inOrder is how many keys of a plan, pressed in its order, leave no more causes
// than the questions did; all of them where it never gets so far.
func inOrder(l *Listener, plan Plan, e ear, causes []Cause, leave int) int {
	p := newPool(l)
	var numbers []int32
	for _, t := range plan.tries() {
		numbers = append(numbers, p.add(t))
	}
	var hearings []hearing
	for _, c := range causes {
		hearings = append(hearings, p.listen(c.patch))
	}
	for i, n := range numbers {
		if len(hearings) <= leave {
			return i
		}
		bears := slices.ContainsFunc(hearings, func(h hearing) bool { return h.of(n).Verdict != Speaks })
		if bears {
			heard := e.hears(p.tries[n])
			hearings = slices.DeleteFunc(hearings, func(h hearing) bool { return heard != h.of(n) })
		}
	}
	return len(numbers)
}

// anyOfEach is a way of making a mistake of each class that can be made.
func (l *Listener) anyOfEach(seed uint64) (list []fault.Fault) {
	r := rand.New(rand.NewPCG(seed, 11))
	by := map[string][]fault.Site{}
	var classes []string
	for _, s := range l.sites() {
		if by[s.Class] == nil {
			classes = append(classes, s.Class)
		}
		by[s.Class] = append(by[s.Class], s)
	}
	for _, class := range classes {
		s := by[class][r.IntN(len(by[class]))]
		list = append(list, s.Way(r.IntN(s.Count)))
	}
	return list
}

// figures are those of many sessions.
type figures struct {
	heard, named, first int
	asked, inOrder      []int
	bits                []float64
}

func (f *figures) add(s session) {
	f.heard++
	if s.named {
		f.named++
	}
	if s.first {
		f.first++
	}
	f.asked, f.inOrder, f.bits = append(f.asked, s.asked), append(f.inOrder, s.inOrder), append(f.bits, math.Log2(float64(max(1, s.began))))
}

func median[T cmp.Ordered](list []T) T {
	list = slices.Sorted(slices.Values(list))
	return list[len(list)/2]
}

func (f figures) log(t testing.TB, of string) {
	t.Logf("%s: %d heard, %d named, %d first; keys asked: %d in the median, %d at worst; in the order of the plan %d and %d; log2 of what there is to tell apart: %.1f and %.1f",
		of, f.heard, f.named, f.first, median(f.asked), slices.Max(f.asked), median(f.inOrder), slices.Max(f.inOrder), median(f.bits), slices.Max(f.bits))
}

// try plants a mistake of each class, and asks for those that a plan hears.
func (f *figures) try(t testing.TB, in *console.Instrument, relay *wiring.Relay, seed uint64) {
	l := New(in, relay)
	plan := l.Plan(2)
	for _, made := range l.anyOfEach(seed) {
		s, heard := seek(l, plan, ear{in, made.Relay}, func(c Cause) bool { return c.Fault.Class == made.Class && c.Fault.Where == made.Where })
		if heard {
			require.True(t, s.named, "seed %d: %s: %s", seed, made.Class, made.Where)
			f.add(s)
		}
	}
}

// Every class of mistakes is planted, heard, and asked for. What was done is
// always among those that are left, which nothing tells apart.
func TestWhatWasDoneIsFoundByEar(t *testing.T) {
	var all figures
	for seed := range uint64(8) {
		in := gen.Instrument(seed, gen.Tiny)
		all.try(t, in, gen.Design(seed, in, gen.AnyOptions(seed)), seed)
	}
	all.log(t, "tiny")
	require.Greater(t, all.heard, 80)
	require.LessOrEqual(t, median(all.asked)*2, median(all.inOrder))
}

// BenchmarkFoundByEar does so with the relay of the example, and logs the figures.
func BenchmarkFoundByEar(b *testing.B) {
	for b.Loop() {
		var all figures
		l := saltmarsh(b)
		all.try(b, l.in, l.r, 2)
		all.log(b, "saltmarsh")
	}
}

// The answers of a whole tree of questions are worth, at an average over the
// causes, as many bits as there is to tell apart: the chain rule of entropy (Shannon
// 1948). So no questions of which each has k answers can take fewer than the
// log to the base k of it, and of as many alike causes as there are.
func TestQuestionsAreWorthWhatTheyTellApart(t *testing.T) {
	l := saltmarsh(t)
	for _, text := range []string{"great C#4 sounds D4", "choir flute C4 also sounds C#4"} {
		symptoms, err := l.Read(text)
		require.NoError(t, err)
		q := l.Explain(symptoms)
		q.hear()
		worth, asked, most := tree(q)
		left, total := 0.0, 0.0 // what is to be told apart
		for _, a := range q.alike {
			total += a.weight
		}
		for _, a := range q.alike {
			left -= a.weight / total * math.Log2(a.weight/total)
		}
		require.InDelta(t, left, worth, 1e-6, text)
		require.GreaterOrEqual(t, asked*math.Log2(float64(most))+1e-6, left, text)
		require.LessOrEqual(t, asked, left+1.5, text) // and not many more: greedy is not the best
	}
}

// tree asks in every way in which it can be answered: the bits and the questions at
// an average, and the most answers to one.
func tree(q *Inquiry) (worth, asked float64, most int) {
	next, more := q.best()
	if !more {
		return 0, 0, 1
	}
	worth, asked, most = next.Bits, 1, len(next.Answers)
	total := 0.0
	for _, a := range next.Answers {
		total += a.Weight
	}
	for _, a := range next.Answers {
		part := *q
		part.asked = maps.Clone(q.asked)
		part.Answer(next, a.Heard)
		w, n, m := tree(&part)
		worth, asked, most = worth+a.Weight/total*w, asked+a.Weight/total*n, max(most, m)
	}
	return worth, asked, most
}

// Two mistakes at a time: what each does alone is not all that is heard, and both
// made together are.
func TestTwoMistakesAtATime(t *testing.T) {
	l := saltmarsh(t)
	symptoms, err := l.Read("great-principal-8 C4 dead; choir-viola-8 C4 sounds D4; great-flute-8 C4 good")
	require.NoError(t, err)
	q := l.Explain(symptoms)
	require.False(t, q.Whole)
	pairs := q.Pairs()
	require.NotEmpty(t, pairs)
	for _, pair := range pairs {
		a, b := q.Causes[pair[0]], q.Causes[pair[1]]
		require.NotEqual(t, a.Explains, b.Explains)
	}
}
