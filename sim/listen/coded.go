package listen

import (
	"slices"

	"trundle/sim/probe"
)

// should is what should sound in a try.
func (l *Listener) should(t Try) []int32 { return l.windy(nil, l.m.run(t), airless(l.in, t.Draw)) }

// fill is a try with those of some controls besides, one after the other, that
// leave what should sound as it is.
func (p *pool) fill(t Try, controls []int) Try {
	want := p.l.should(t)
	for _, c := range controls {
		if slices.Contains(t.Draw, c) {
			continue
		}
		if more := (Try{with(t.Draw, c), t.Held}); slices.Equal(want, p.l.should(more)) {
			t = more
		}
	}
	return t
}

// coded adds a try with what it needs drawn, and with halves of all else that leaves
// what should sound as it is, by a code (Kautz 1974, as for circuit boards): so that
// which control a row asks wrongly is told in as many keys as its number has bits.
func (p *pool) coded(t Try) {
	want := p.l.should(t)
	for _, c := range t.Draw {
		less := t.less(c)
		if slices.Equal(want, p.l.should(less)) {
			t = less
		}
	}
	p.add(t)
	for _, some := range probe.Counting(len(p.l.in.Controls)) {
		p.add(p.fill(t, some))
	}
}

// less is a try without a control.
func (t Try) less(control int) Try {
	return Try{slices.DeleteFunc(slices.Clone(t.Draw), func(c int) bool { return c == control }), t.Held}
}

// with is a registration with one more control.
func with(draw []int, control int) []int {
	draw = append(slices.Clone(draw), control)
	slices.Sort(draw)
	return draw
}
