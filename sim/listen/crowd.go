package listen

import "slices"

// MostAtOnce is how many valves may sound at a time in what is planned: an ear
// tells that one of them is missing, wrong or too many. Common practice, no source.
const MostAtOnce = 3

// crowds add tries in which it makes a difference whether a row holds while as much
// else is drawn as can be that is not so in any try known so far: what a row asks
// for, or not, and should not, is heard only where that is drawn as well. First
// with few valves that sound, then with more.
func (p *planning) crowds(number int32, turns []turn, heard func(turn) bool) []turn {
	for _, more := range []int{1, crowded} {
		for _, holds := range []bool{true, false} {
			for {
				t, found := p.crowd(number, turns, holds, more)
				if !found {
					break
				}
				if turns = append(turns, t); heard(t) {
					return turns
				}
			}
		}
	}
	return turns
}

// crowded is how many times as many valves may sound where a row is not tried
// otherwise. Of our own choosing.
const crowded = 3

// crowd adds one.
func (p *planning) crowd(number int32, turns []turn, holds bool, more int) (turn, bool) {
	base := int32(-1)
	for _, t := range turns {
		if t.holds == holds && (base < 0 || len(p.open[t.try]) < len(p.open[base])) {
			base = t.try
		}
	}
	if base < 0 {
		return turn{}, false
	}
	drawn := make([]bool, len(p.l.m.controls))
	for _, t := range turns {
		for _, c := range p.tries[t.try].Draw {
			drawn[c] = drawn[c] || t.holds == holds
		}
	}
	var lacking []int
	for c, contact := range p.l.m.controls {
		if contact >= 0 && !drawn[c] {
			lacking = append(lacking, c)
		}
	}
	c := &crowd{planning: p, number: number, holds: holds, try: p.tries[base], most: more * max(MostAtOnce, len(p.open[base]))}
	c.take(lacking)
	if c.taken == 0 {
		return turn{}, false
	}
	regs := len(p.regs)
	t := p.add(c.try)
	reg := p.reg[t]
	if len(p.regs) > regs {
		p.full[reg] = true
	}
	return turn{t, holds, p.regs[reg].drawn.labels}, true
}

// crowd is a try as it fills.
type crowd struct {
	*planning
	number int32
	holds  bool
	try    Try
	most   int // valves that may sound
	taken  int
}

// take draws those of some controls with which the row still makes a difference.
func (c *crowd) take(controls []int) {
	if len(controls) == 0 {
		return
	}
	draw := slices.Concat(c.try.Draw, controls)
	slices.Sort(draw)
	if more := (Try{slices.Compact(draw), c.try.Held}); c.turns(more) {
		c.try, c.taken = more, c.taken+len(controls)
	} else if half := len(controls) / 2; half > 0 {
		c.take(controls[:half])
		c.take(controls[half:])
	}
}

// turns reports whether few enough valves sound in a try, and others where the row
// holds and should not, or the other way round.
func (c *crowd) turns(t Try) bool {
	m, airless := c.l.m, airless(c.l.in, t.Draw)
	open := c.l.windy(nil, m.run(t), airless)
	if len(open) > c.most || m.holds(c.number) != c.holds {
		return false
	}
	return !slices.Equal(open, c.l.windy(nil, m.turned(c.number, c.holds, t, nil), airless))
}

// turned is the valves that open where a row holds and should not, or the other way
// round.
func (m *machine) turned(number int32, holds bool, t Try, d *drawn) []int32 {
	was := m.rows[number]
	if holds {
		m.rows[number].off = true
	} else {
		m.rows[number].literals = nil
	}
	open := m.runIn(t, d, number)
	m.rows[number] = was
	return open
}
