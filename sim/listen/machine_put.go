package listen

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// patch is what a mistake changes in a machine.
type patch struct {
	lost, hung    []hanging       // of the wiring
	parted, joins []leg           // of the joins
	nets          []int32         // of which all these are, without the mistake
	row           int32           // of the table that is not there or asks otherwise, -1 for none
	asks          *row            // what it asks instead, nil where it is not there
	rows          []wiring.Switch // that are there instead
	moved         []fault.Move    // places of the row that get other pins, where nothing else differs
	less, more    []placed        // and the ways that they were, and are
	holds         []row           // the row as it is, and those: nothing differs where none of them holds
	stuck         []int32         // terminals that are on whatever is held and drawn
	lasting       bool            // all that these add sounds while nothing is held
	turned        []patch         // rows that ask otherwise while these are on, where that is all; nil where it is not
	order         bool            // what rows that pick depend on may be otherwise
	outputs       bool            // it changes only what hangs on outputs
	labels        bool            // it may change which labels are on
}

// patchOf is what an edit of the tables changes.
func (m *machine) patchOf(e fault.Edit) patch {
	p := patch{row: -1}
	for _, move := range e.Moved {
		switch move.In {
		case fault.Soldered:
			if items := m.soldered[move.Row]; move.At < len(items) {
				p.rehang(m, items[move.At], m.r.Soldered()[move.Row].Pins[move.At], move.Pin)
			}
		case fault.Joined:
			if j := m.r.Joins[move.Row]; move.At < len(j.From) {
				p.relay(m, j.From[move.At], j.To[move.At], j.From[move.At], move.Pin)
			}
		}
	}
	for _, row := range e.Hung {
		p.hung = append(p.hung, m.hangings(row)...)
	}
	for _, row := range e.Stuck {
		for _, pin := range row.Pins {
			if t := m.terminal(pin); t >= 0 {
				p.stuck, p.nets = append(p.stuck, t), append(p.nets, m.net[t])
			}
		}
	}
	if len(e.Boards) == 2 {
		for _, i := range sortedSet(slices.Concat(m.rowsOn[e.Boards[0]], m.rowsOn[e.Boards[1]])) {
			row := m.r.Soldered()[i]
			for at, pin := range e.Crossed(row.Pins) {
				if at < len(row.Items) {
					p.rehang(m, m.soldered[i][at], row.Pins[at], pin)
				}
			}
		}
		for _, i := range sortedSet(slices.Concat(m.joinsOn[e.Boards[0]], m.joinsOn[e.Boards[1]])) {
			j := m.r.Joins[i]
			for at, pin := range e.Crossed(j.From) {
				if at < len(j.To) {
					p.relay(m, j.From[at], j.To[at], pin, j.To[at])
				}
			}
		}
	}
	switch {
	case len(e.Moved) > 0 && e.Moved[0].In == fault.Switching:
		p.row, p.moved = int32(e.Moved[0].Row), e.Moved
		is := m.r.Switch[p.row]
		is.Pins = slices.Clone(is.Pins)
		for _, move := range e.Moved {
			p.less = m.waysAt(p.less, p.row, m.r.Switch[p.row], move.At)
			if is.Pins[move.At] = move.Pin; !move.Gone() {
				p.more = m.waysAt(p.more, p.row, is, move.At)
			}
		}
	case e.Row != console.None:
		p.row, p.rows = int32(e.Row), e.Rows
		m.lighten(&p)
	}
	p.outputs = p.row < 0 && len(p.parted)+len(p.joins) == 0
	if p.row >= 0 {
		p.holds = append(p.holds, m.rows[p.row])
		for _, s := range p.rows {
			p.holds = append(p.holds, m.asks(s))
		}
	}
	for _, list := range [][]hanging{p.lost, p.hung} {
		for _, h := range list {
			p.nets = append(p.nets, m.net[h.terminal])
			p.outputs = p.outputs && !m.isContact(h.item)
		}
	}
	if len(p.stuck) > 0 {
		m.sticks(&p)
	}
	for _, l := range slices.Concat(p.parted, p.joins) {
		p.nets = append(p.nets, m.net[l.from], m.net[l.to])
	}
	p.nets = sortedSet(p.nets)
	if p.row >= 0 {
		p.labels = m.rows[p.row].read
	}
	for _, net := range p.nets {
		p.labels = p.labels || slices.ContainsFunc(m.terms[net], func(t int32) bool { return len(m.labels[t]) > 0 })
	}
	return p
}

// sticks notes what a terminal that is stuck bears on. Without rows that pick, a note
// or a valve that is on is only added to the others; a control or an action is more.
func (m *machine) sticks(p *patch) {
	lit, only := map[int32]bool{}, !m.played
	p.lasting = !m.played && len(m.picks) == 0
	for _, net := range p.nets {
		for _, t := range m.terms[net] {
			p.outputs = p.outputs && len(m.labels[t])+len(m.reads[t]) == 0
			p.lasting = p.lasting && len(m.labels[t]) == 0 && !slices.ContainsFunc(m.hung[t], m.isAction)
			only = only && len(m.reads[t]) == 0 && !slices.ContainsFunc(m.hung[t], func(i int32) bool { return m.sounding[i] })
			for _, w := range m.labels[t] {
				lit[w.to] = true
			}
		}
	}
	if !only || len(lit) == 0 {
		return
	}
	for number, was := range m.rows {
		if !slices.ContainsFunc(was.literals, func(l literal) bool { return lit[l.label] }) {
			continue
		}
		is := row{}
		for _, l := range was.literals {
			if is.off = is.off || lit[l.label] && l.not; !lit[l.label] {
				is.literals = append(is.literals, l)
			}
		}
		p.turned = append(p.turned, patch{row: int32(number), holds: []row{was}, asks: &is})
	}
}

func (m *machine) isAction(item int32) bool {
	switch m.list[item].Kind {
	case wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		return true
	}
	return false
}

// rehang takes an item from one pin to another.
func (p *patch) rehang(m *machine, item int32, from, to wiring.Terminal) {
	if item < 0 || from == to {
		return
	}
	if t := m.terminal(from); t >= 0 {
		p.lost = append(p.lost, hanging{item, t})
	}
	if t := m.terminal(to); t >= 0 {
		p.hung = append(p.hung, hanging{item, t})
	}
}

// relay takes a leg of a join from two terminals to two others.
func (p *patch) relay(m *machine, from, to, newFrom, newTo wiring.Terminal) {
	if from == newFrom && to == newTo {
		return
	}
	if a, b := m.terminal(from), m.terminal(to); a >= 0 && b >= 0 {
		p.parted = append(p.parted, leg{a, b})
	}
	if a, b := m.terminal(newFrom), m.terminal(newTo); a >= 0 && b >= 0 {
		p.joins = append(p.joins, leg{a, b})
	}
}

// lighten says in fewer words what changes in the table: a row that only asks
// otherwise stays, and what rows that pick depend on is looked into only where
// something leads elsewhere.
func (m *machine) lighten(p *patch) {
	was := m.r.Switch[p.row]
	if was.Kind != wiring.Read && len(p.rows) == 1 {
		if is := p.rows[0]; is.Kind == was.Kind && is.Line == was.Line && is.To == was.To && is.Picks == was.Picks &&
			slices.Equal(is.Notes, was.Notes) && slices.Equal(is.ToNotes, was.ToNotes) && slices.Equal(is.Pins, was.Pins) {
			asks := m.asks(is)
			p.asks, p.rows = &asks, nil
			return
		}
	}
	p.order = was.Kind == wiring.Couple && slices.ContainsFunc(append([]wiring.Switch{was}, p.rows...), m.bearsOnPicks)
}

// bearsOnPicks reports whether a couple row picks, or a row that picks may depend on it.
func (m *machine) bearsOnPicks(s wiring.Switch) bool {
	return picking(s) || slices.ContainsFunc(s.ToNotes, func(n console.Note) bool {
		to := m.find(s.To, n)
		return to >= 0 && m.sways[to]
	})
}

func picking(s wiring.Switch) bool { return s.Kind == wiring.Couple && s.Picks != console.PicksAll }

// saved is a list, or the net of a terminal, as it was.
type saved struct {
	numbers *[]int32
	ways    *[]way
	was     []int32
	wasWays []way
	net     *int32
	wasNet  int32
}

func (m *machine) keep(list *[]int32) { m.before = append(m.before, saved{numbers: list, was: *list}) }

func (m *machine) keepWays(list *[]way) {
	m.before = append(m.before, saved{ways: list, wasWays: *list})
}

// put puts a mistake in. What was put in last is taken out first.
func (m *machine) put(p patch) (out func()) {
	rows, picks, nets, before := len(m.rows), m.picks, len(m.terms), len(m.before)
	for _, h := range p.lost {
		m.without(&m.hung[h.terminal], h.item)
		m.without(&m.at[h.item], h.terminal)
	}
	for _, h := range p.hung {
		m.with(&m.hung[h.terminal], h.item)
		m.with(&m.at[h.item], h.terminal)
	}
	if len(p.parted)+len(p.joins) > 0 {
		m.rejoin(p)
	}
	stuck := m.stuck
	m.stuck = append(slices.Clip(stuck), p.stuck...)
	for _, w := range p.less {
		m.keepWays(w.in)
		if i := slices.Index(*w.in, w.way); i >= 0 {
			*w.in = slices.Concat((*w.in)[:i], (*w.in)[i+1:])
		}
	}
	for _, w := range p.more {
		m.keepWays(w.in)
		*w.in = append(slices.Clip(*w.in), w.way)
	}
	var was row
	if p.row >= 0 && p.moved == nil {
		was = m.rows[p.row]
		if p.asks != nil {
			m.rows[p.row] = *p.asks
			m.otherwise++
		} else {
			m.rows[p.row].off = true
		}
	}
	for _, s := range p.rows {
		number := int32(len(m.rows))
		m.rows = append(m.rows, m.asks(s))
		m.known, m.held = append(m.known, 0), append(m.held, false)
		for i := range s.Len() {
			for _, w := range m.waysAt(nil, number, s, i) {
				m.keepWays(w.in)
				*w.in = append(slices.Clip(*w.in), w.way)
			}
		}
	}
	if p.order {
		m.picks = nil
		for _, i := range wiring.PickOrder(slices.Concat(m.r.Switch[:p.row], p.rows, m.r.Switch[p.row+1:])) {
			m.picks = append(m.picks, m.picked(p, i, rows))
		}
	}
	return func() {
		m.stuck = stuck
		for i := len(m.before) - 1; i >= before; i-- {
			switch b := m.before[i]; {
			case b.numbers != nil:
				*b.numbers = b.was
			case b.ways != nil:
				*b.ways = b.wasWays
			default:
				*b.net = b.wasNet
			}
		}
		m.before = m.before[:before]
		if p.row >= 0 && p.moved == nil {
			m.rows[p.row] = was
		}
		if p.asks != nil {
			m.otherwise--
		}
		m.rows, m.known, m.held, m.picks = m.rows[:rows], m.known[:rows], m.held[:rows], picks
		m.terms, m.netOn, m.netDriven = m.terms[:nets], m.netOn[:nets], m.netDriven[:nets]
	}
}

// picked is the row that picks at a place of the table with a mistake; rows is
// how many the relay has.
func (m *machine) picked(p patch, at, rows int) pick {
	switch first, more := int(p.row), len(p.rows)-1; {
	case at < first:
		return m.pick(int32(at), m.r.Switch[at])
	case at > first+more:
		return m.pick(int32(at-more), m.r.Switch[at-more])
	default:
		return m.pick(int32(rows+at-first), p.rows[at-first])
	}
}

func (m *machine) without(list *[]int32, number int32) {
	m.keep(list)
	if i := slices.Index(*list, number); i >= 0 {
		*list = slices.Concat((*list)[:i], (*list)[i+1:])
	}
}

func (m *machine) with(list *[]int32, number int32) {
	m.keep(list)
	*list = append(slices.Clip(*list), number)
}

// rejoin connects anew what hung together by joins that are made otherwise.
func (m *machine) rejoin(p patch) {
	var list []int32
	for _, net := range p.nets {
		list = append(list, m.terms[net]...)
	}
	for _, l := range p.parted {
		m.without(&m.beside[l.from], l.to)
		m.without(&m.beside[l.to], l.from)
	}
	for _, l := range p.joins {
		m.with(&m.beside[l.from], l.to)
		m.with(&m.beside[l.to], l.from)
	}
	for _, t := range list {
		m.before = append(m.before, saved{net: &m.net[t], wasNet: m.net[t]})
		m.net[t] = -1
	}
	for _, t := range list {
		if m.net[t] >= 0 {
			continue
		}
		number := int32(len(m.terms))
		m.net[t] = number
		net := []int32{t}
		for i := 0; i < len(net); i++ {
			for _, u := range m.beside[net[i]] {
				if m.net[u] < 0 {
					m.net[u] = number
					net = append(net, u)
				}
			}
		}
		m.terms, m.netOn, m.netDriven = append(m.terms, net), append(m.netOn, 0), append(m.netDriven, 0)
	}
}
