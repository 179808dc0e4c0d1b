package listen

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// MostAtOnce is how many valves may sound at a time in what is planned: an ear
// tells that one of them is missing, wrong or too many. Common practice, no source.
const MostAtOnce = 3

// together has a pool try stops in groups of one division, each by every key: of so
// many at most, whose footages differ; a reed, a mixture and a stop of several
// ranks alone. Common practice, no source.
func (p *pool) together(most int) {
	in := p.l.in
	grouped := make([]bool, len(in.Stops))
	joins := func(group []int, s int) bool {
		stop := in.Stops[s]
		return !slices.ContainsFunc(group, func(other int) bool {
			o := in.Stops[other]
			return o.Division != stop.Division || o.Touch != stop.Touch || o.Feet == stop.Feet
		})
	}
	plain := func(s int) bool {
		return len(in.Stops[s].Takes) == 1 && in.Stops[s].Feet != (console.Feet{}) && !p.l.hard([]int{in.Stops[s].Control})
	}
	for s := range in.Stops {
		if grouped[s] {
			continue
		}
		group := []int{s}
		for o := s + 1; o < len(in.Stops) && len(group) < most && plain(s); o++ {
			if !grouped[o] && plain(o) && joins(group, o) {
				grouped[o], group = true, append(group, o)
			}
		}
		p.stops(group)
	}
}

// crowds are tries with controls drawn that should make no difference: what asks
// for a control that it should not, or not, is heard only where that is drawn as
// well. For each row of the relay's table, that is a try in which it is missed, with
// all that leaves what sounds alone, and with each of the others.
func (p *pool) crowds() {
	var tries []int32
	for i, s := range p.l.r.Switch {
		if s.Kind == wiring.Read {
			continue
		}
		if heard := p.heardIn(patch{row: int32(i)}); len(heard) > 0 {
			tries = append(tries, heard[0])
		}
	}
	for _, t := range append(sortedSet(tries), p.add(Try{})) {
		p.crowd(p.tries[t])
	}
}

// crowd adds a try with every control besides that leaves what should sound as it
// is: first those that move keys, then stops, and the other way round; and with each
// other one, where few enough valves should sound then.
func (p *pool) crowd(t Try) {
	l := p.l
	if len(p.should(t)) > MostAtOnce {
		return
	}
	var movers, others []int
	for c := range l.in.Controls {
		if l.plays(c) && l.in.Controls[c].Kind != console.StopControl {
			movers = append(movers, c)
		} else {
			others = append(others, c)
		}
	}
	one, other := p.fill(t, slices.Concat(movers, others)), p.fill(t, slices.Concat(others, movers))
	p.add(one)
	p.add(other)
	for c := range l.in.Controls {
		if !slices.Contains(one.Draw, c) && !slices.Contains(other.Draw, c) {
			if more := (Try{with(t.Draw, c), t.Held}); len(l.m.run(more)) <= MostAtOnce {
				p.add(more)
			}
		}
	}
}

// should is what should sound in a try.
func (p *pool) should(t Try) []int32 { return p.l.windy(nil, p.l.m.run(t), airless(p.l.in, t.Draw)) }

// fill is a try with those of some controls besides, one after the other, that
// leave what should sound as it is.
func (p *pool) fill(t Try, controls []int) Try {
	want := p.should(t)
	for _, c := range controls {
		if slices.Contains(t.Draw, c) {
			continue
		}
		if more := (Try{with(t.Draw, c), t.Held}); slices.Equal(want, p.should(more)) {
			t = more
		}
	}
	return t
}

// coded adds a try with what it needs drawn, and with halves of all else that leaves
// what should sound as it is, by a code (Kautz 1974, as for circuit boards): so that
// which control a row asks wrongly is told in as many keys as its number has bits.
func (p *pool) coded(t Try) {
	want := p.should(t)
	for _, c := range t.Draw {
		less := Try{slices.DeleteFunc(slices.Clone(t.Draw), func(other int) bool { return other == c }), t.Held}
		if slices.Equal(want, p.should(less)) {
			t = less
		}
	}
	p.add(t)
	count := len(p.l.in.Controls)
	for bit := 1; bit < count+2; bit *= 2 {
		var has, lacks []int
		for c := range count {
			if (c+1)&bit != 0 {
				has = append(has, c)
			} else {
				lacks = append(lacks, c)
			}
		}
		p.add(p.fill(t, has))
		p.add(p.fill(t, lacks))
	}
}

// with is a registration with one more control.
func with(draw []int, control int) []int {
	draw = append(slices.Clone(draw), control)
	slices.Sort(draw)
	return draw
}
