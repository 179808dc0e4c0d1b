package change

import (
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/equation"
	"trundle/sim/logic"
)

// side is one of the two instruments and its nodes in the network of both.
type side struct {
	*console.Instrument
	index         map[string]int // of each kind of thing, by kind/id
	first, second [][]logic.Node // lines by division and note; second is nil where nothing reads it
	valves        []logic.Node
	pipes         []pipe // by valve
}

// newComparison puts both instruments over variables that they share by name.
// Of the new one's come first, so that examples read in the order of its file.
func newComparison(old, new *console.Instrument) *comparison {
	c := &comparison{known: map[[2]logic.Node]answer{}}
	oldNames, newNames := variables(old), variables(new)
	for _, keys := range []bool{false, true} {
		for _, name := range slices.Concat(newNames, oldNames) {
			if isKey(name) == keys && !slices.Contains(c.names, name) {
				c.names = append(c.names, name)
			}
		}
		if !keys {
			c.minor = len(c.names)
		}
	}
	w := logic.New(len(c.names))
	c.old, c.new = c.add(w, old, oldNames), c.add(w, new, newNames)
	c.never = w.Add()
	simple := w.Simplify(nil)
	levels, _ := simple.Levels()
	c.class = simple.Classes(nil)
	c.decider = logic.NewDecider(simple, c.class, logic.NewEvaluator(simple, levels), c.minor)
	return c
}

// variables names what an instrument's states consist of, by variable.
func variables(in *console.Instrument) []string {
	v := equation.NewVariables(in)
	names := make([]string, v.Count)
	for n := range names {
		s := v.State([]logic.Node{logic.Node(n)})
		if c := slices.Index(s.Drawn, true); c >= 0 {
			names[n] = in.Controls[c].ID
			continue
		}
		names[n] = in.Keyboards[s.Held[0].Keyboard].ID + ":" + s.Held[0].Note.String()
		if s.Held[0].Deep {
			names[n] += deep
		}
	}
	return names
}

// deep marks a key pressed to its second contact.
const deep = ":2"

func isKey(name string) bool { return strings.Contains(name, ":") }

// add puts an instrument into the network of both.
func (c *comparison) add(w *logic.Network, in *console.Instrument, names []string) side {
	own := logic.New(len(names))
	made := equation.AddInstrument(own, equation.NewVariables(in))
	node := c.copied(w, own, names)
	s := side{Instrument: in, first: lines(&made.First, node), pipes: pipesOf(in), index: map[string]int{}}
	for _, n := range made.Valves {
		s.valves = append(s.valves, node[n])
	}
	if made.Second != nil {
		s.second = lines(made.Second, node)
	}
	for i, d := range in.Divisions {
		s.index["division/"+d.ID] = i
	}
	for i, rank := range in.Ranks {
		s.index["rank/"+rank.ID] = i
	}
	for i, control := range in.Controls {
		s.index["control/"+control.ID] = i
	}
	for i, keyboard := range in.Keyboards {
		s.index["keyboard/"+keyboard.ID] = i
	}
	return s
}

// copied copies the network of one instrument into that of both, and says which
// node each has become. A key pressed deep closes the one contact of an
// instrument that has only one.
func (c *comparison) copied(w, own *logic.Network, names []string) []logic.Node {
	variable := map[string]logic.Node{}
	for n, name := range c.names {
		variable[name] = logic.Node(n)
	}
	node := make([]logic.Node, own.Len())
	for n, name := range names {
		node[n] = variable[name]
		if pressed, exists := variable[name+deep]; exists && isKey(name) && !slices.Contains(names, name+deep) {
			either := w.Add()
			w.Or(either, []logic.Node{node[n]}, nil)
			w.Or(either, []logic.Node{pressed}, nil)
			node[n] = either
		}
	}
	for n := len(names); n < own.Len(); n++ {
		node[n] = w.Add()
	}
	of := func(list []logic.Node) []logic.Node {
		mapped := make([]logic.Node, len(list))
		for i, n := range list {
			mapped[i] = node[n]
		}
		return mapped
	}
	for n := len(names); n < own.Len(); n++ {
		for _, t := range own.Terms(logic.Node(n)) {
			w.Or(node[n], of(t.All), of(t.None))
		}
	}
	return node
}

// lines are the lines of a plane, by division and note, as what their nodes
// have become.
func lines(p *equation.Plane, node []logic.Node) (all [][]logic.Node) {
	for _, notes := range p.Line {
		line := slices.Clone(notes[:])
		for n := range line {
			if line[n] != equation.Nothing {
				line[n] = node[line[n]]
			}
		}
		all = append(all, line)
	}
	return all
}

// at is the index of a thing, -1 where the side has none.
func (s side) at(kind, id string) int {
	if i, known := s.index[kind+"/"+id]; known {
		return i
	}
	return -1
}

// line is the node of a division's line that stops of a touch read, never
// where there is none.
func (s side) line(never logic.Node, division int, touch int, n console.Note) logic.Node {
	lines := s.first
	if touch == 2 {
		lines = s.second
	}
	if division < 0 || lines == nil || lines[division][n] == equation.Nothing {
		return never
	}
	return lines[division][n]
}
