package circuit

// bond is the resistance of what connects without a length that anyone gave,
// in ohms: small beside any wire.
const bond = 1e-6

// Net is the network of a circuit in one state.
type Net struct {
	Network
	plus, minus []int // by supply: its poles
	board       []int // by board: where its pins are fed from; None without a supply
	back        []int // by return: where its magnets come together; None when unused
	supplyOf    []int // by board: the first
	source      []int // by supply: its branch
	feeds       [][]int
	home        []int // by return: its branch, None when it is open
	load        []int // by load: its branch, None when off
	trunk       []int // by load: the branch it shares with others on its pin, None without
}

// pole is the node of a pole of a supply.
func (n *Net) pole(supply int, side Side) int {
	if side == Positive {
		return n.plus[supply]
	}
	return n.minus[supply]
}

// Net is the network with some loads on, by load, coils at 20 C or hot.
// A load of a board without a supply, or behind an open return, carries nothing.
func (c *Circuit) Net(on []bool, hot bool) *Net {
	n := &Net{Network: Network{Nodes: 1}}
	for i, s := range c.Supplies {
		minus := 0
		if i > 0 {
			minus = n.add()
			n.join(minus, 0, 1e9, 0) // nothing flows; the voltage only has to be some
		}
		plus := n.add()
		n.plus, n.minus = append(n.plus, plus), append(n.minus, minus)
		n.source = append(n.source, n.join(minus, plus, bond+s.ohms(), s.Idle))
	}
	n.boards(c)
	n.returns(c)
	n.loads(c, on, hot)
	return n
}

func (n *Net) boards(c *Circuit) {
	for b, board := range c.Boards {
		n.board, n.supplyOf, n.feeds = append(n.board, None), append(n.supplyOf, None), append(n.feeds, nil)
		for _, s := range c.suppliesOf(b) {
			if n.board[b] == None {
				n.board[b], n.supplyOf[b] = n.add(), s
			}
			from, to := n.pole(s, board.Switches), n.board[b]
			if board.Switches == Negative {
				from, to = to, from
			}
			n.feeds[b] = append(n.feeds[b], n.join(from, to, bond+board.Feed.Ohms(c.Settings.WiresAt), 0))
		}
	}
}

// suppliesOf are the supplies of a board; the only one there is where it names none.
func (c *Circuit) suppliesOf(board int) []int {
	if given := c.Boards[board].Supplies; given != nil || len(c.Supplies) != 1 {
		return given
	}
	return []int{0}
}

// Home is the supply and the pole that a return runs to: what it says, or what
// the first magnet on it asks for. known is false for one without magnets that
// says nothing.
func (c *Circuit) Home(r int) (supply int, side Side, known bool) {
	supply, side = c.Returns[r].Supply, c.Returns[r].Side
	for _, l := range c.Loads {
		if supply != None && side != "" {
			break
		}
		if !c.under(l.Return, r) {
			continue
		}
		if s := c.suppliesOf(l.Board); supply == None && len(s) > 0 {
			supply = s[0]
		}
		if side == "" {
			side = c.Boards[l.Board].Switches.Other()
		}
	}
	return supply, side, supply != None && side != ""
}

// under reports whether a return is another, or runs into it.
func (c *Circuit) under(r, other int) bool {
	for ; r != None; r = c.Returns[r].Into {
		if r == other {
			return true
		}
	}
	return false
}

func (n *Net) returns(c *Circuit) {
	for range c.Returns {
		n.back, n.home = append(n.back, n.add()), append(n.home, None)
	}
	joined := [2]int{None, None} // by side: a pole that joined returns run to
	for i, back := range c.Returns {
		supply, side, known := c.Home(i)
		if !known || back.Count == 0 {
			continue
		}
		end := n.pole(supply, side)
		if back.Into != None {
			end = n.back[back.Into]
		}
		from, to := n.back[i], end
		if side == Positive {
			from, to = to, from
		}
		n.home[i] = n.join(from, to, bond+back.Ohms(c.Settings.WiresAt), 0)
		if !back.Joined {
			continue
		}
		at := &joined[0]
		if side == Negative {
			at = &joined[1]
		}
		if pole := n.pole(supply, side); *at == None {
			*at = pole
		} else if *at != pole {
			n.join(*at, pole, bond, 0)
		}
	}
}

func (n *Net) loads(c *Circuit, on []bool, hot bool) {
	n.load, n.trunk = make([]int, len(c.Loads)), make([]int, len(c.Loads))
	for first := 0; first < len(c.Loads); {
		last := first + 1
		for last < len(c.Loads) && c.Loads[last].Pin == c.Loads[first].Pin {
			last++
		}
		n.pin(c, first, last, on, hot)
		first = last
	}
}

// pin adds what hangs on one pin: loads first to last-1, which stand together.
// What they share of the way, its legs up to where they part, they share here.
func (n *Net) pin(c *Circuit, first, last int, on []bool, hot bool) {
	var live []int
	for i := first; i < last; i++ {
		n.load[i], n.trunk[i] = None, None
		if on[i] && n.board[c.Loads[i].Board] != None {
			live = append(live, i)
		}
	}
	if len(live) == 0 {
		return
	}
	board := c.Boards[c.Loads[first].Board]
	at, drop, shared := n.board[c.Loads[first].Board], board.Drop, 0
	if len(live) > 1 {
		legs := c.Loads[live[0]].Legs
		for shared = len(legs); shared > 0 && !c.allBegin(live, legs[:shared]); shared-- {
		}
		trunk := n.add()
		branch := n.through(board, at, trunk, bond+c.legOhms(legs[:shared]), drop)
		for _, i := range live {
			n.trunk[i] = branch
		}
		at, drop = trunk, 0
	}
	for _, i := range live {
		l := c.Loads[i]
		to := n.pole(n.supplyOf[l.Board], board.Switches.Other())
		if l.Return != None {
			to = n.back[l.Return]
		}
		n.load[i] = n.through(board, at, to, c.Magnets[l.Magnet].resistance(hot)+c.legOhms(l.Legs[shared:]), drop)
	}
}

// through is a branch that carries a board's current: out of its pin where it
// switches the positive side, into it where the negative.
func (n *Net) through(board Board, from, to int, ohms, drop float64) int {
	if board.Switches == Negative {
		from, to = to, from
	}
	return n.join(from, to, ohms, -drop)
}

func (c *Circuit) allBegin(loads []int, with []Leg) bool {
	for _, i := range loads {
		legs := c.Loads[i].Legs
		if len(legs) < len(with) {
			return false
		}
		for j, leg := range with {
			if legs[j] != leg {
				return false
			}
		}
	}
	return true
}

func (c *Circuit) legOhms(legs []Leg) float64 {
	sum := 0.0
	for _, leg := range legs {
		sum += c.Cables[leg.Cable].Ohms(c.Settings.WiresAt)
	}
	return sum
}
