package wiring

// Netlist is a wiring seen from its terminals: which of them joins connect,
// and what hangs on each net. A net is a number from 0; every terminal of the
// relay is on one net, most of them alone.
type Netlist struct {
	relay *Relay
	rows  []Row
	first []int // of each board and strip: how many terminals come before it
	net   []int // by terminal

	terminals groups // by net: terminals
	hung      groups // by net: into hangs
	legs      groups // by net: into joined
	hangs     []Hung
	joined    []Leg
}

// Hung is one item that hangs on a net: the place At in the Pins and Items of
// a row of the wiring.
type Hung struct{ Row, At int }

// Leg is one connection of a net: the place At in the From and To of a join.
type Leg struct{ Join, At int }

// Nets is the wiring that is really there.
func Nets(r *Relay) *Netlist { return NetsOf(r, r.Soldered()) }

// NetsOf is a list of wiring rows with the relay's joins. What a row or a
// join says about terminals that do not exist is left out.
func NetsOf(r *Relay, rows []Row) *Netlist {
	n := &Netlist{relay: r, rows: rows}
	count := 0
	for on := range len(r.Boards) + len(r.Strips) {
		n.first = append(n.first, count)
		count += r.pins(on)
	}
	n.first = append(n.first, count)
	nets := n.connect(count)
	n.terminals = group(nets, count, func(i int) int { return n.net[i] })

	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			if n.Of(row.Pins[at]) >= 0 {
				n.hangs = append(n.hangs, Hung{i, at})
			}
		}
	}
	n.hung = group(nets, len(n.hangs), func(i int) int { h := n.hangs[i]; return n.Of(rows[h.Row].Pins[h.At]) })

	for i, j := range r.Joins {
		for at := range min(len(j.From), len(j.To)) {
			if n.Of(j.From[at]) >= 0 && n.Of(j.To[at]) >= 0 {
				n.joined = append(n.joined, Leg{i, at})
			}
		}
	}
	n.legs = group(nets, len(n.joined), func(i int) int { l := n.joined[i]; return n.Of(r.Joins[l.Join].From[l.At]) })
	return n
}

// connect numbers the nets that the joins make of so many terminals.
func (n *Netlist) connect(terminals int) (nets int) {
	above := make([]int, terminals) // a forest; each tree is a net
	for i := range above {
		above[i] = i
	}
	root := func(i int) int {
		for above[i] != i {
			above[i] = above[above[i]]
			i = above[i]
		}
		return i
	}
	for _, j := range n.relay.Joins {
		for i := range min(len(j.From), len(j.To)) {
			if a, b := n.number(j.From[i]), n.number(j.To[i]); a >= 0 && b >= 0 {
				a, b = root(a), root(b)
				above[max(a, b)] = min(a, b)
			}
		}
	}
	n.net = above
	for i := range above {
		if above[i] == i { // the lowest terminal of its net: the others come later
			above[i], nets = nets, nets+1
		} else {
			above[i] = above[above[i]]
		}
	}
	return nets
}

// number is where a terminal stands among all of the relay, -1 when there is
// no such terminal.
func (n *Netlist) number(t Terminal) int {
	if t.Pin < 1 || t.Pin > n.relay.pins(t.On) {
		return -1
	}
	return n.first[t.On] + t.Pin - 1
}

// Len is the number of nets.
func (n *Netlist) Len() int { return len(n.terminals.first) - 1 }

// Of is the net of a terminal, -1 when there is no such terminal.
func (n *Netlist) Of(t Terminal) int {
	if i := n.number(t); i >= 0 {
		return n.net[i]
	}
	return -1
}

// DrivenBy is the net that a row drives which drives a terminal, -1 where the
// relay cannot drive it.
func (n *Netlist) DrivenBy(t Terminal) int {
	if !n.relay.Drives(t) {
		return -1
	}
	return n.Of(t)
}

// Terminals are the terminals of a net, boards before strips.
func (n *Netlist) Terminals(net int) []Terminal {
	var list []Terminal
	on := 0
	for _, i := range n.terminals.of(net) {
		for n.first[on+1] <= int(i) {
			on++
		}
		list = append(list, Terminal{on, int(i) - n.first[on] + 1})
	}
	return list
}

// Hung is what hangs on a net, in the order of the rows.
func (n *Netlist) Hung(net int) []Hung {
	var list []Hung
	for _, i := range n.hung.of(net) {
		list = append(list, n.hangs[i])
	}
	return list
}

// Item is the item that hangs somewhere.
func (n *Netlist) Item(h Hung) Item { return n.rows[h.Row].Items[h.At] }

// Legs are the connections of a net, in the order of the joins.
func (n *Netlist) Legs(net int) []Leg {
	var list []Leg
	for _, i := range n.legs.of(net) {
		list = append(list, n.joined[i])
	}
	return list
}

// Pin is the first pin of a net that stands on a board of a direction.
func (n *Netlist) Pin(net int, d Direction) (Terminal, bool) {
	for _, t := range n.Terminals(net) {
		if t.On < len(n.relay.Boards) && n.relay.Boards[t.On].Direction == d {
			return t, true
		}
	}
	return Terminal{}, false
}

// groups are the numbers 0, 1, 2... of some things, sorted by the net of each.
type groups struct {
	first  []int32 // of each net and one past the last: where its members begin
	sorted []int32
}

func (g groups) of(net int) []int32 { return g.sorted[g.first[net]:g.first[net+1]] }

func group(nets, count int, net func(i int) int) groups {
	g := groups{make([]int32, nets+1), make([]int32, count)}
	for i := range count {
		g.first[net(i)+1]++
	}
	for i := range nets {
		g.first[i+1] += g.first[i]
	}
	next := append([]int32{}, g.first...)
	for i := range count {
		at := net(i)
		g.sorted[next[at]] = int32(i)
		next[at]++
	}
	return g
}
