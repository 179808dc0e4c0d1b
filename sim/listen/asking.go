package listen

import (
	"slices"

	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// asks reports whether the mistakes of a site are in what a row asks for, and in
// nothing else: a row that passes notes on or drives pins, with other controls.
func (l *Listener) asks(site fault.Site) bool {
	switch site.Class {
	case "wrong-control", "literal-extra", "literal-inverted", "literal-missing", "unison-off-extra", "unison-off-missing":
		return l.r.Switch[site.Row].Kind != wiring.Read
	}
	return false
}

// turn is a try in which it makes a difference whether a row of the table holds.
type turn struct {
	try    int32
	holds  bool   // it does, without a mistake
	labels []bool // that are on
}

// looks is how many tries of a registration are looked into for one that turns.
const looks = 4

// hearAsking has played what shows that rows ask for what they should not, or not for
// what they should. Where that makes a difference is found once for each row; a
// mistake in what it asks for is heard in those tries in which it holds, and
// should not, or the other way round.
func (p *planning) hearAsking(sites []fault.Site) {
	var sets [][]int32
	for len(sites) > 0 {
		number := sites[0].Row
		n := slices.IndexFunc(sites, func(s fault.Site) bool { return s.Row != number })
		if n < 0 {
			n = len(sites)
		}
		sets = append(sets, p.hearRow(int32(number), sites[:n])...)
		sites = sites[n:]
	}
	p.play(sets)
}

// asked is a mistake in what a row asks for.
type asked struct {
	site fault.Site
	way  int
	row  row
}

// hearRow does so for one row: sets of tries, of which one is to be played.
func (p *planning) hearRow(number int32, sites []fault.Site) (sets [][]int32) {
	m := p.l.m
	var left []asked
	matters := m.matters(m.r.Switch[number])
	for _, site := range sites {
		p.plan.Mistakes += site.Count
		for i := range site.Count {
			if !matters {
				p.plan.Silent = count(p.plan.Silent, site, i)
				continue
			}
			left = append(left, asked{site, i, m.asks(site.Edit(i).Rows[0])})
		}
	}
	turns := p.turns(number)
	left = slices.DeleteFunc(left, func(a asked) bool {
		return slices.ContainsFunc(turns, func(t turn) bool { return p.isPlayed(t.try) && a.turns(t) })
	})
	remain := func(turns []turn) {
		left = slices.DeleteFunc(left, func(a asked) bool {
			var heard []int32
			for _, t := range turns {
				if a.turns(t) {
					if heard = append(heard, t.try); len(heard) == enough {
						break
					}
				}
			}
			if len(heard) > 0 {
				sets = append(sets, heard)
			}
			return len(heard) > 0
		})
	}
	if remain(turns); len(left) > 0 {
		p.crowds(number, turns, func(t turn) bool {
			remain([]turn{t})
			return len(left) == 0
		})
	}
	for _, site := range sites {
		if matters {
			p.plan.Heard += site.Count
		}
	}
	for _, a := range left {
		p.plan.Heard--
		x := m.patchOf(a.site.Edit(a.way))
		if m.inert(x) {
			p.plan.Silent = count(p.plan.Silent, a.site, a.way)
		} else {
			p.missed = append(p.missed, unshown{a.site, a.way, x})
		}
	}
	return distinct(sets)
}

// turns reports whether a mistake is heard in a try.
func (a asked) turns(t turn) bool { return a.row.among(t.labels) != t.holds }

// turns are tries, up to one of each registration, in which it makes a difference
// whether a row holds.
func (p *planning) turns(number int32) (list []turn) {
	m := p.l.m
	var tries []int32
	for t := range p.bearing(patch{row: number}) {
		tries = append(tries, t)
	}
	slices.SortStableFunc(tries, func(a, b int32) int { // those that are played first
		switch {
		case p.isPlayed(a) == p.isPlayed(b):
			return 0
		case p.isPlayed(a):
			return -1
		}
		return 1
	})
	looked := map[int32]int{}
	for _, t := range tries {
		reg := p.reg[t]
		if looked[reg] == looks {
			continue
		}
		drawn := p.regs[reg].drawn
		holds := m.rows[number].among(drawn.labels)
		if p.full[reg] && !holds {
			continue
		}
		looked[reg]++
		if got := p.l.windy(nil, m.turned(number, holds, p.tries[t], p.settled(reg)), p.regs[reg].airless); !slices.Equal(got, p.open[t]) {
			looked[reg] = looks
			list = append(list, turn{t, holds, drawn.labels})
		}
	}
	return list
}
