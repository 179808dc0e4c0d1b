package probe

import (
	"math/bits"
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// Wrong is one valve that does not do in one chord what it should.
type Wrong struct{ Step, Chord, Valve int }

// Differ lists what is wrong in the answers to a plan, in its order; of a chord of
// which no answer is known (nil) nothing.
func Differ(want, got Answers) []Wrong {
	var list []Wrong
	for s := range want {
		for c := range want[s] {
			if got[s][c] == nil {
				continue
			}
			for w, word := range want[s][c] {
				for diff := word ^ got[s][c][w]; diff != 0; diff &= diff - 1 {
					list = append(list, Wrong{s, c, w*64 + bits.TrailingZeros64(diff)})
				}
			}
		}
	}
	return list
}

// Diagnose finds the single mistakes in a relay that account for all that it
// was seen to do: with each, it would have given the answers. The plan cannot
// tell them apart (Split can, mostly); the likeliest is the first. None when the answers are those
// of the relay, or when no single mistake accounts for them.
func Diagnose(p Plan, r *wiring.Relay, in *console.Instrument, got Answers) []fault.Fault {
	wrong := Differ(Simulate(p, r, in), got)
	if len(wrong) == 0 {
		return nil
	}
	d := newDiagnosis(p, CompileWith(r, in, p.Loop), wrong, got)
	var list []fault.Fault
	for _, site := range fault.Sites(r, in) {
		for i := range site.Count {
			if d.accounts(site, i) {
				list = append(list, site.Way(i))
			}
		}
	}
	slices.SortStableFunc(list, likelier)
	return list
}

// diagnosis compares what mistakes would do with what was seen.
type diagnosis struct {
	base     *Running
	exams    []*exam // the first with what soon tells one mistake from another
	wrong    word    // of the first exam: the chords in which something is wrong
	made     []word  // of the first exam: by net, the chords in which a contact on it is made
	contacts []word  // by contact, the same
	needs    [][]int // of some valves that are wrong, with a plug in of all: the outputs that open each
	moved    []bool  // by output, for a while
	gates    map[int][]gate
	space    space
}

// exam is a block with what was answered to it.
type exam struct {
	block
	got    []word // by valve
	labels []word
	amiss  []word // by valve: the chords in which the relay answers otherwise, for most
}

// gate is the chords of an exam in which a row would account for what was
// answered by letting nothing through, and by letting all through.
type gate struct{ shut, open word }

// wrongFirst is how many of the chords of the first exam are wrong ones, where
// there are so many.
const wrongFirst = 40

func newDiagnosis(p Plan, x *Running, wrong []Wrong, got Answers) *diagnosis {
	d := &diagnosis{base: x, moved: make([]bool, len(x.outputs)+1), gates: map[int][]gate{}}
	is := map[chordAt]bool{}
	var bad, good, valves = []chordAt{}, []chordAt{}, []int{}
	for _, w := range wrong {
		if at := (chordAt{w.Step, w.Chord}); !is[at] {
			is[at] = true
			bad = append(bad, at)
		}
		valves = append(valves, w.Valve)
	}
	for _, at := range p.chords() {
		if !is[at] && got[at.step][at.chord] != nil {
			good = append(good, at)
		}
	}
	bad, good = spread(bad, wrongFirst), spread(good, 64-wrongFirst)
	first := min(len(bad), max(wrongFirst, 64-len(good)))
	chords := slices.Concat(bad[:first], good, bad[first:])
	for _, b := range x.blocks(p, chords) {
		made := d.space.madeIn(x, b.contacts)
		d.space.read(x, made)
		sets := make([]Set, len(b.chords))
		for i, at := range b.chords {
			sets[i] = got[at.step][at.chord]
		}
		if d.exams == nil {
			d.made, d.contacts = slices.Clone(d.space.nets), slices.Clone(made)
		}
		d.exams = append(d.exams, &exam{block: b, got: rowsOf(sets, len(x.valves)), labels: slices.Clone(d.space.labels)})
	}
	d.wrong = word(1)<<first - 1
	slices.Sort(valves)
	valves = slices.Compact(valves)
	if len(p.Loop) == 0 {
		valves = spread(valves, wrongFirst)
		valves = valves[:min(wrongFirst, len(valves))]
	}
	for _, v := range valves {
		need := []int{x.valves[v].own}
		for _, p := range x.valves[v].pairs {
			need = append(need, p.line, p.action, p.on, p.off)
		}
		if len(p.Loop) > 0 {
			need = append(need, x.outputs[p.Loop[v%p.Loop.Half()].Hangs])
		}
		d.needs = append(d.needs, need)
	}
	for i, l := range p.Loop {
		d.contacts[x.contacts[l.Contact]] |= d.contacts[x.feeds[i].contact]
	}
	return d
}

// spread is a list with so many of it first, from all over.
func spread[T any](list []T, many int) []T {
	if len(list) <= many {
		return list
	}
	var some, rest []T
	for i, t := range list {
		if len(some)*len(list) <= i*many {
			some = append(some, t)
		} else {
			rest = append(rest, t)
		}
	}
	return append(some, rest...)
}

// accounts reports whether a way of a site accounts for all answers.
func (d *diagnosis) accounts(site fault.Site, way int) bool {
	if items := site.Items(way); len(items) > 0 && !d.mayBe(items) {
		return false
	}
	e := site.Edit(way)
	if e.Row == console.None {
		return d.fits(d.base.with(e))
	}
	if control, is := d.gating(e); is {
		return d.lets(e.Row, control)
	}
	return d.mayDo(e) && d.fits(d.base.with(e))
}

// fits reports whether a relay gives the answers that were got.
func (d *diagnosis) fits(x *Running) bool {
	for _, e := range d.exams {
		mask := e.mask()
		for v, open := range d.space.run(x, e.contacts) {
			if (open^e.got[v])&mask != 0 {
				return false
			}
		}
	}
	return true
}
