package gen

import (
	"fmt"

	"trundle/console"
)

// couplers makes sure of a way to every floating division and of the cycle
// where one is due, then of the couplers that carry all, and fills up with
// couplers of every kind.
func (m *maker) couplers() {
	n, all := m.count(m.size.Couplers), m.count(m.size.CarriesAll)
	cycle := m.size.Cycle == CycleAlways || m.size.Cycle == CycleInAQuarter && m.seed%4 == 0
	if cycle {
		all = max(2, all)
		all -= m.cycle(all)
	}
	for range all {
		m.carriesAll(cycle)
	}
	for d, division := range m.in.Divisions {
		if division.Keyboard == console.None {
			m.coupler(console.Coupler{Division: d, Keyboard: m.IntN(len(m.in.Keyboards)), Carries: m.carries()})
		}
	}
	for len(m.in.Couplers) < n {
		m.anyCoupler()
	}
}

// cycle adds couplers that carry all from keyboard to keyboard and back to
// the first, at most most of them, and says how many. Most have shifts that
// sum to zero; the others run away up or down the keyboards.
func (m *maker) cycle(most int) int {
	var homes []int // a division of each keyboard that has one
	for k := range m.in.Keyboards {
		for d, division := range m.in.Divisions {
			if division.Keyboard == k {
				homes = append(homes, d)
				break
			}
		}
	}
	m.Shuffle(len(homes), func(i, j int) { homes[i], homes[j] = homes[j], homes[i] })
	homes = homes[:min(most, len(homes), 2+m.IntN(2))]
	sum := 0
	for i, d := range homes {
		before := m.in.Divisions[homes[(i+len(homes)-1)%len(homes)]].Keyboard
		shift := m.shift()
		if i == len(homes)-1 && !m.oneIn(3) {
			shift = -sum
		}
		sum += shift
		m.coupler(console.Coupler{Division: d, Keyboard: before, Shift: shift, Carries: console.CarriesAll})
	}
	return len(homes)
}

// carriesAll adds a coupler that carries all, towards a lower keyboard unless
// cycles may be.
func (m *maker) carriesAll(cycle bool) {
	var ways [][2]int
	for d, division := range m.in.Divisions {
		for k := range m.in.Keyboards {
			if division.Keyboard != console.None && (k > division.Keyboard || cycle && k != division.Keyboard) {
				ways = append(ways, [2]int{d, k})
			}
		}
	}
	way := pick(m, ways)
	m.coupler(console.Coupler{Division: way[0], Keyboard: way[1], Shift: m.shift(), Carries: console.CarriesAll})
}

// anyCoupler adds an own coupler, a bass or melody coupler, or a foreign one.
func (m *maker) anyCoupler() {
	d := m.IntN(len(m.in.Divisions))
	c := console.Coupler{Division: d, Keyboard: console.None, Shift: m.shift(), Carries: console.CarriesNone}
	kind := m.IntN(8)
	if kind < 2 {
		if c.Shift == 0 {
			c.Shift = pick(m, []int{-m.size.Octave, m.size.Octave})
		}
		m.coupler(c)
		return
	}
	c.Keyboard = m.IntN(len(m.in.Keyboards))
	if c.Keyboard == m.in.Divisions[d].Keyboard {
		return
	}
	keys := m.in.Keyboards[c.Keyboard].Keys
	c.Keys = keys
	half := keys.From + console.Note(keys.Len()/2)
	switch {
	case kind == 2:
		c.Picks, c.Keys = console.PicksLowest, console.Span{From: keys.From, To: half}
	case kind == 3:
		c.Picks, c.Keys = console.PicksHighest, console.Span{From: half, To: keys.To}
	default:
		c.Carries = m.carries()
	}
	if c.Picks != console.PicksAll && m.oneIn(2) || m.oneIn(8) {
		c.Keys = pick(m, []console.Span{keys, {From: keys.From, To: half}, {From: half, To: keys.To}})
	}
	reached := c.Keys
	reached.From, reached.To = reached.From+console.Note(c.Shift), reached.To+console.Note(c.Shift)
	if reached.Cut(m.in.Divisions[d].Notes).Len() == 0 {
		return
	}
	if m.in.Keyboards[c.Keyboard].Touches == 2 && m.oneIn(4) {
		c.Touch = 2
	}
	if c.Keys == keys {
		c.Keys = console.AllNotes
	}
	m.coupler(c)
}

// carries is none or own.
func (m *maker) carries() console.Carries {
	return pick(m, []console.Carries{console.CarriesNone, console.CarriesNone, console.CarriesOwn})
}

// shift is most often none or an octave.
func (m *maker) shift() int {
	o := m.size.Octave
	return pick(m, []int{0, 0, 0, 0, 0, o, o, -o, -o, 7 % (o + 1)})
}

// coupler adds a coupler under a name that says what it does.
func (m *maker) coupler(c console.Coupler) {
	division, octave := m.in.Divisions[c.Division], m.size.Octave
	c.Touch = max(1, c.Touch)
	if c.Keys == (console.Span{}) {
		c.Keys = console.AllNotes
	}
	var pitch string
	switch {
	case c.Shift == -octave:
		pitch = "16"
	case c.Shift == 0:
		pitch = "8"
	case c.Shift == octave:
		pitch = "4"
	case c.Shift < 0:
		pitch = fmt.Sprint("down-", -c.Shift)
	default:
		pitch = fmt.Sprint("up-", c.Shift)
	}
	base := division.ID
	switch {
	case c.Picks == console.PicksLowest:
		base += "-bass"
	case c.Picks == console.PicksHighest:
		base += "-melody"
	case c.Keyboard != console.None:
		base += "-to-" + m.in.Keyboards[c.Keyboard].ID
	}
	c.Name = title(base)
	c.ID = m.id("control", base+"-"+pitch)
	m.in.Couplers = append(m.in.Couplers, c)
}

func (m *maker) unisonOffs() {
	var homes []int
	for d, division := range m.in.Divisions {
		if division.Keyboard != console.None {
			homes = append(homes, d)
		}
	}
	for range m.count(m.size.UnisonOffs) {
		d := pick(m, homes)
		u := console.UnisonOff{Name: "Unison Off", Division: d, Cuts: pick(m, []console.Cuts{console.CutsKeys, console.CutsLine, console.CutsAll})}
		u.ID = m.id("control", m.in.Divisions[d].ID+"-unison-off")
		m.in.UnisonOffs = append(m.in.UnisonOffs, u)
	}
}
