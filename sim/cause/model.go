package cause

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// model is an instrument and a relay in one network, in which the relay reads
// pins and not contacts: what hangs on a pin is looked at apart from what the
// relay makes of it.
type model struct {
	in     *console.Instrument
	r      *wiring.Relay
	v      equation.Variables
	rel    *equation.Relay
	plan   *wiring.Netlist
	w      *logic.Network // simplified
	pins   []pin          // by pin variable, from the first; the last ones are those of what is never read
	class  []int32        // pins count as the contacts wired to them
	canon  []int32        // class, but for nodes of the relay that have been matched: the class of what they should be
	names  map[int32]name // of the instrument's nodes, by class
	repr   map[int32]logic.Node
	lines  map[logic.Node][]note // of the relay's nodes
	sites  []site
	absent []site // outputs of the instrument that hang on no net
	never  logic.Node

	unread  int          // the first of the pins of what is never read
	settled bool         // match has ended
	matched []logic.Node // of the relay, notes of lines whose canon has been settled
}

// pin is an input pin, together with those to which the same one contact is
// wired.
type pin struct {
	hung []wiring.Item // the contacts wired to it
}

// site is an output on the net where it hangs: what it should do, and what
// the net does.
type site struct {
	net       int
	item      wiring.Item
	want, got logic.Node
}

// name is the family of nodes that a node of the instrument belongs to, the
// keys of a keyboard or the notes of a line, and its note.
type name struct{ family, note int }

// note is one note of a line of the relay.
type note struct {
	line string
	note int
}

// newModel builds the network of a relay with the wiring as it stands in r.
func newModel(in *console.Instrument, r *wiring.Relay) *model {
	m := &model{in: in, r: r, v: equation.NewVariables(in), plan: wiring.NetsOf(r, r.Plan)}
	m.v.Apart = true
	nets := wiring.Nets(r)
	pinOf, shared := map[int]logic.Node{}, map[wiring.Item]logic.Node{}
	for net := range nets.Len() {
		if _, reads := nets.Pin(net, wiring.Input); !reads {
			continue
		}
		p := pin{m.contacts(nets, net)}
		pinOf[net] = logic.Node(m.v.Count + len(m.pins))
		if len(p.hung) == 1 {
			if same, known := shared[p.hung[0]]; known {
				pinOf[net] = same
				continue
			}
			shared[p.hung[0]] = pinOf[net]
		}
		m.pins = append(m.pins, p)
	}
	full, unread := withReads(r)
	m.unread = len(m.pins)
	m.pins = append(m.pins, make([]pin, unread)...)
	open := logic.Node(m.v.Count + len(m.pins)) // what a pin reads to which nothing is wired, or too much
	w := logic.New(int(open) + 1)
	inst := equation.AddInstrument(w, m.v)
	m.rel = equation.AddRelay(w, full, func(t wiring.Terminal) logic.Node {
		if t.On < 0 {
			return logic.Node(m.v.Count + m.unread + t.Pin)
		}
		if pin, known := pinOf[nets.Of(t)]; known {
			return pin
		}
		return open
	})
	m.never = w.Add()
	m.addSites(w, inst)

	m.w = w.Simplify(m.hold(w.Len(), full, inst))
	as := make([]logic.Node, w.Vars)
	for n := range as {
		as[n] = logic.Node(n)
	}
	for i, p := range m.pins {
		as[m.v.Count+i] = open
		if len(p.hung) == 1 {
			as[m.v.Count+i] = m.v.Contact(p.hung[0])[0]
		}
	}
	m.class = m.w.Classes(as)
	m.canon = slices.Clone(m.class)
	m.nameInstrument(inst)
	m.nameRelay()
	return m
}

func (m *model) paper() paper { return paper{m.in, m.r} }

func planesOf(inst *equation.Instrument) []*equation.Plane {
	if inst.Second != nil {
		return []*equation.Plane{&inst.First, inst.Second}
	}
	return []*equation.Plane{&inst.First}
}

// contacts are the different contacts that hang on a net.
func (m *model) contacts(nets *wiring.Netlist, net int) []wiring.Item {
	var list []wiring.Item
	if net < 0 { // there is no such pin
		return nil
	}
	for _, h := range nets.Hung(net) {
		if item := nets.Item(h); len(m.v.Contact(item)) > 0 && !slices.Contains(list, item) {
			list = append(list, item)
		}
	}
	return list
}

// addSites finds the outputs that the proof looks at, and what each should do.
func (m *model) addSites(w *logic.Network, inst *equation.Instrument) {
	wants := map[wiring.Item]logic.Node{}
	for net, driven := range m.rel.Driven {
		hung := m.rel.Nets.Hung(net)
		if len(hung) == 0 && driven != equation.Nothing {
			m.sites = append(m.sites, site{net: net, want: m.never, got: driven})
		}
		for _, h := range hung {
			item := m.rel.Nets.Item(h)
			want, known := wants[item]
			if !known {
				if want, known = m.want(w, inst, item); !known {
					continue
				}
				wants[item] = want
			}
			s := site{net, item, want, driven}
			if driven == equation.Nothing {
				s.got = m.never
			}
			if len(hung) == 1 || !slices.Contains(m.sites[max(0, len(m.sites)-len(hung)):], s) {
				m.sites = append(m.sites, s)
			}
		}
	}
	for _, item := range wiring.Needed(m.in) {
		if _, hangs := wants[item]; hangs {
			continue
		}
		if want, known := m.want(w, inst, item); known {
			m.absent = append(m.absent, site{-1, item, want, m.never})
		}
	}
}

// want is what an output should do; false for one that no proof looks at.
func (m *model) want(w *logic.Network, inst *equation.Instrument, item wiring.Item) (logic.Node, bool) {
	switch item.Kind {
	case wiring.ValveKind:
		return inst.Valves[m.in.Ranks[item.Index].Valve(item.Note)], true
	case wiring.NoteKind:
		d := item.Of
		if d == console.None {
			d = m.in.Chests[item.Index].Plays[0]
		}
		if line := inst.First.Line[d][item.Note]; line != equation.Nothing {
			return line, true
		}
		return m.never, true
	case wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		node := w.Add()
		var stops []logic.Node
		for _, stop := range m.in.Stops {
			if m.works(stop, item) {
				stops = append(stops, m.v.Control(stop.Control))
			}
		}
		if item.Kind == wiring.ActionOffKind {
			w.Or(node, nil, stops)
			return node, true
		}
		for _, s := range stops {
			w.Or(node, []logic.Node{s}, nil)
		}
		return node, true
	}
	return m.never, false
}

// works reports whether a stop works an action.
func (m *model) works(stop console.Stop, action wiring.Item) bool {
	return (action.Of == console.None || action.Of == stop.Division) &&
		slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return t.Rank == action.Index })
}

// nameInstrument names contacts, keys and lines. A class that has several
// names keeps the first: contacts, then keys moved, then own keys, then lines.
func (m *model) nameInstrument(inst *equation.Instrument) {
	m.names, m.repr = map[int32]name{}, map[int32]logic.Node{}
	family := 0
	add := func(n logic.Node, note int) {
		n = m.w.Is(n)
		c := m.class[n]
		if _, known := m.names[c]; !known && c != m.class[m.never] {
			m.names[c] = name{family, note}
			m.repr[c] = n
		}
	}
	for c := range m.in.Controls {
		add(m.v.Control(c), 0)
		family++
	}
	for n := logic.Node(len(m.in.Controls)); int(n) < m.v.Count; n++ {
		item := m.v.Item(n)
		family = len(m.in.Controls) + 2*item.Index
		if item.Kind == wiring.Key2Kind {
			family++
		}
		add(n, item.Note)
	}
	family = len(m.in.Controls) + 2*len(m.in.Keyboards)
	for _, p := range planesOf(inst) {
		for _, set := range [][]equation.Notes{p.Held, p.Moved, p.Own, p.Line} {
			for _, notes := range set {
				family++
				for n, node := range notes {
					if node != equation.Nothing {
						add(node, n)
					}
				}
			}
		}
	}
}

// nameRelay names the nodes that the relay's labels and notes of its lines have
// become. A label is a line of one note that no line can be called like.
func (m *model) nameRelay() {
	m.lines = map[logic.Node][]note{}
	for label, node := range m.rel.Labels {
		node = m.w.Is(node)
		m.lines[node] = append(m.lines[node], note{"=" + label, 0})
	}
	for line, notes := range m.rel.Lines {
		for n, node := range notes {
			if node != equation.Nothing {
				node = m.w.Is(node)
				m.lines[node] = append(m.lines[node], note{line, n})
			}
		}
	}
	for _, notes := range m.lines {
		slices.SortFunc(notes, func(a, b note) int { return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.note, b.note)) })
	}
}

// isPin reports whether a node is a pin variable, and which.
func (m *model) isPin(n logic.Node) (int, bool) {
	i := int(n) - m.v.Count
	return i, 0 <= i && i < len(m.pins)
}
