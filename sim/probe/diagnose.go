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

// Differ lists what is wrong in the answers to a plan, in its order.
func Differ(want, got Answers) []Wrong {
	var list []Wrong
	for s := range want {
		for c := range want[s] {
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
// tell them apart; the first moves the fewest pins. None when the answers are
// those of the relay, or when no single mistake accounts for them.
func Diagnose(p Plan, r *wiring.Relay, in *console.Instrument, got Answers) []fault.Fault {
	want := Simulate(p, r, in)
	wrong := Differ(want, got)
	if len(wrong) == 0 {
		return nil
	}
	d := &diagnosis{plan: p, in: in, r: r, base: Compile(r, in), want: want, got: got, wrong: wrong, minor: map[int]bool{}}
	d.look()
	var list []fault.Fault
	for _, site := range fault.Sites(r, in) {
		if (site.Class == "wrong-control" || site.Class == "literal-extra") && !d.matters(site.Row) {
			continue
		}
		for i := range site.Count {
			if !d.possible(site.Items(i)) {
				continue
			}
			if f := site.Way(i); d.fits(d.running(site.In, f.Relay)) {
				list = append(list, f)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b fault.Fault) int { return len(a.Pins) - len(b.Pins) })
	return list
}

// diagnosis compares what mistakes would do with what was seen.
type diagnosis struct {
	plan   Plan
	in     *console.Instrument
	r      *wiring.Relay
	base   *Running
	want   Answers
	got    Answers
	wrong  []Wrong
	sample []Wrong // chords that soon tell a mistake from another
	valves map[int]bool
	keys   [][]wiring.Item // of chords of the sample: the contacts that open what is wrong there
	minor  map[int]bool    // by switching row looked at: nothing depends on it where something is wrong
}

// sampleSize is how many chords of each sort a mistake is tried with first.
const sampleSize = 24

// look chooses the sample: chords in which something is wrong, from all over
// the plan, and chords in which nothing is.
func (d *diagnosis) look() {
	d.valves = map[int]bool{}
	for i, w := range d.wrong {
		d.valves[w.Valve] = true
		if i%max(1, len(d.wrong)/sampleSize) == 0 {
			d.sample = append(d.sample, w)
			if keys := d.openers(w); len(keys) > 0 {
				d.keys = append(d.keys, keys)
			}
		}
	}
	chords := d.plan.Presses()
	at := 0
	for s, step := range d.plan.Steps {
		for c := range step.Chords {
			if at++; at%max(1, chords/sampleSize) == 0 {
				d.sample = append(d.sample, Wrong{Step: s, Chord: c})
			}
		}
	}
}

// running is a relay with a mistake, ready to be run.
func (d *diagnosis) running(in fault.Table, r *wiring.Relay) *Running {
	if in == fault.Soldered {
		return d.base.rewired(r.Soldered())
	}
	return Compile(r, d.in)
}

// matters reports whether a switching row does anything in the chords in which
// something is wrong, or would do if it asked no control.
func (d *diagnosis) matters(row int) bool {
	if minor, known := d.minor[row]; known {
		return !minor
	}
	free := d.r.Switch[row]
	free.Control = nil
	d.minor[row] = free.Kind != wiring.Read && !d.tells(row) && !d.tells(row, free)
	return !d.minor[row]
}

// tells reports whether other rows in the place of one make a difference in
// some wrong chord of the sample.
func (d *diagnosis) tells(row int, by ...wiring.Switch) bool {
	r := *d.r
	r.Switch = append(slices.Delete(slices.Clone(r.Switch), row, row+1), by...)
	x := Compile(&r, d.in)
	return slices.ContainsFunc(d.sample, func(w Wrong) bool {
		step := d.plan.Steps[w.Step]
		return !slices.Equal(x.Run(step.Chords[w.Chord], step.Draw), d.want[w.Step][w.Chord])
	})
}

// possible reports whether a mistake that moves some things may account for
// what is wrong: every wrong valve hangs on them, if they are outputs, or is
// opened by them, if they are keys.
func (d *diagnosis) possible(items []wiring.Item) bool {
	if len(items) == 0 {
		return true
	}
	has := map[wiring.Item]bool{}
	for _, item := range items {
		has[item] = true
	}
	other := func(item wiring.Item) bool { return item.Kind != wiring.KeyKind && item.Kind != wiring.Key2Kind }
	switch {
	case !slices.ContainsFunc(items, other):
		return !slices.ContainsFunc(d.keys, func(keys []wiring.Item) bool {
			return !slices.ContainsFunc(keys, func(k wiring.Item) bool { return has[k] })
		})
	case !slices.ContainsFunc(items, wiring.Item.Given):
		for v := range d.valves {
			if !d.hangs(v, has) {
				return false
			}
		}
	}
	return true
}

// openers are the contacts of keys that open a valve alone, in a step; none
// where a row picks among them.
func (d *diagnosis) openers(w Wrong) []wiring.Item {
	if len(d.base.picks) > 0 {
		return nil
	}
	var list []wiring.Item
	for k, keyboard := range d.in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			held := console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2}
			if d.base.Run([]console.Held{held}, d.plan.Steps[w.Step].Draw).Has(w.Valve) {
				list = append(list, wiring.Item{Kind: wiring.KeyKind, Index: k, Of: console.None, Note: int(n)},
					wiring.Item{Kind: wiring.Key2Kind, Index: k, Of: console.None, Note: int(n)})
			}
		}
	}
	return list
}

// hangs reports whether a valve is opened by one of some outputs.
func (d *diagnosis) hangs(valve int, has map[wiring.Item]bool) bool {
	r := d.in.RankOf(valve)
	rank := d.in.Ranks[r]
	v := valve - rank.First + 1
	for _, stand := range rank.Stands {
		if v < stand.From || v > stand.To {
			continue
		}
		chest := d.in.Chests[stand.Chest]
		if !chest.HasNoteLines() {
			return has[wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v}]
		}
		for _, division := range chest.Plays {
			of := wiring.ActionOf(d.in, r, division)
			line := wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, division), Note: int(rank.Note(v))}
			if has[line] || slices.ContainsFunc([]wiring.Kind{wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind}, func(kind wiring.Kind) bool {
				return has[wiring.Item{Kind: kind, Index: r, Of: of}]
			}) {
				return true
			}
		}
	}
	return false
}

// fits reports whether a relay gives the answers that were got.
func (d *diagnosis) fits(x *Running) bool {
	for _, w := range d.sample {
		if !slices.Equal(x.Run(d.plan.Steps[w.Step].Chords[w.Chord], d.plan.Steps[w.Step].Draw), d.got[w.Step][w.Chord]) {
			return false
		}
	}
	for s, step := range d.plan.Steps {
		for c, chord := range step.Chords {
			if !slices.Equal(x.Run(chord, step.Draw), d.got[s][c]) {
				return false
			}
		}
	}
	return true
}
