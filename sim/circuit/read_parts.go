package circuit

import (
	"slices"

	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// hung is what hangs on a pin, by the row that says so, and the wires there.
type hung struct {
	item wiring.Item
	pin  wiring.Terminal
	legs []Leg
	at   finding.Place
}

// hung lists what hangs on the pins of a direction.
func (rd *reader) hung(direction wiring.Direction) []hung {
	nets, cables, rows := wiring.Nets(rd.relay), rd.cableIndex(), rd.relay.Soldered()
	var list []hung
	for net := range nets.Len() {
		pin, found := nets.Pin(net, direction)
		if !found {
			continue
		}
		shared := rd.shared(nets, net, cables)
		for _, h := range nets.Hung(net) {
			row := rows[h.Row]
			list = append(list, hung{nets.Item(h), pin, appendLeg(slices.Clone(shared), cables, row.Cable, row.Wires, h.At), row.At})
		}
	}
	return list
}

func appendLeg(legs []Leg, cables map[string]int, cable string, wires []int, at int) []Leg {
	i, known := cables[cable]
	if !known {
		return legs
	}
	wire := 0
	if at < len(wires) {
		wire = wires[at]
	}
	return append(legs, Leg{i, wire})
}

// inputs finds the contacts that hang on input pins.
func (rd *reader) inputs() {
	for _, h := range rd.hung(wiring.Input) {
		switch h.item.Kind {
		case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.ButtonKind, wiring.StageKind:
			rd.c.Inputs = append(rd.c.Inputs, Input{Item: h.item, Pin: h.pin, Board: h.pin.On, Legs: h.legs, At: h.at})
		}
	}
}

// cableIndex is where each cable stands.
func (rd *reader) cableIndex() map[string]int {
	index := map[string]int{}
	for i, cable := range rd.relay.Cables {
		index[cable.ID] = i
	}
	return index
}

// shared are the wires that all on a net have in common: those of its joins.
func (rd *reader) shared(nets *wiring.Netlist, net int, cables map[string]int) []Leg {
	var legs []Leg
	for _, leg := range nets.Legs(net) {
		join := rd.relay.Joins[leg.Join]
		legs = appendLeg(legs, cables, join.Cable, join.Wires, leg.At)
	}
	return legs
}

// places reads where boards and strips stand.
func (rd *reader) places() {
	for _, p := range rd.ByID(rd.relay.Sections["places"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a place", []string{"of", "enclosed"})
		f.Need("of")
		place := Place{ID: p.Key.Text, Enclosed: rd.said(f, "enclosed"), At: rd.Place(p.Key)}
		for _, n := range f.Texts("of") {
			on := rd.board(n)
			for _, other := range rd.c.Places {
				if on >= 0 && slices.Contains(other.On, on) {
					rd.Wrong(n, "name it in one of them", "%s stands in %s and in %s", n.Text, other.ID, place.ID)
				}
			}
			place.On = append(place.On, on)
		}
		rd.c.Places = append(rd.c.Places, place)
	}
}

// links reads the data links between boards.
func (rd *reader) links() {
	for _, p := range rd.ByID(rd.relay.Sections["links"], yamldoc.CapitalID) {
		f := rd.Fields(p.Value, "a link", []string{"to", "on-loss"})
		f.Need("to")
		link := Link{ID: p.Key.Text, OnLoss: f.Choice("on-loss", "", "silence", "hold"), At: rd.Place(p.Key)}
		for _, n := range f.Texts("to") {
			link.To = append(link.To, rd.board(n))
		}
		rd.c.Links = append(rd.c.Links, link)
	}
}

// board is a board or strip by its id, boards first; -1 (and a finding) for
// one that is not there.
func (rd *reader) board(n *yamldoc.Node) int {
	var ids []string
	for _, b := range rd.relay.Boards {
		ids = append(ids, b.ID)
	}
	for _, s := range rd.relay.Strips {
		ids = append(ids, s.ID)
	}
	return rd.name(n, "board or strip", ids)
}

// said reads true or false, and knows when neither is given.
func (rd *reader) said(f yamldoc.Fields, name string) Said {
	if f.Node(name) == nil {
		return NotSaid
	}
	if f.Bool(name) {
		return Yes
	}
	return No
}
