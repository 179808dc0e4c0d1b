package console

import (
	"slices"
	"strings"

	"trundle/console/yamldoc"
)

// names is a name space of the file: ids, in the order of what they name.
type names struct {
	kind  string // as messages call it
	ids   []string
	index map[string]int // of the first that carries the id
	at    []*yamldoc.Node

	good []string        // those of ids that may be ids
	told map[string]bool // names that are unknown only by a mistake that is told elsewhere
}

// add gives the next index to the id at a node; a second owner of the id is
// noted.
func (n *names) add(s *yamldoc.Source, id *yamldoc.Node) {
	if n.index == nil {
		n.index = map[string]int{}
	}
	if yamldoc.PlainID.MatchString(id.Text) {
		n.good = append(n.good, id.Text)
	} else {
		n.tell(yamldoc.AsID(id.Text, yamldoc.PlainID))
	}
	if first, taken := n.index[id.Text]; taken {
		s.Twice(id, n.at[first], id.Text)
	} else {
		n.index[id.Text] = len(n.ids)
	}
	n.ids = append(n.ids, id.Text)
	n.at = append(n.at, id)
}

// tell keeps a name about which nothing more is said where it is unknown.
func (n *names) tell(id string) {
	if n.told == nil {
		n.told = map[string]bool{}
	}
	n.told[id] = true
}

// find is the index of what the node names: None, with a finding, when
// nothing carries the name, and None when there is no node.
func (n *names) find(s *yamldoc.Source, name *yamldoc.Node) int {
	if name == nil {
		return None
	}
	text := s.Text(name)
	if i, ok := n.index[text]; ok {
		return i
	}
	if name.Kind == yamldoc.Scalar && !n.told[text] {
		s.Unknown(name, n.kind, text, n.good)
	}
	return None
}

// list are the indices of what a list of nodes names, without the unknown. A
// name that stands in the list twice is noted.
func (n *names) list(s *yamldoc.Source, listed []*yamldoc.Node) []int {
	var list []int
	seen := map[int]*yamldoc.Node{}
	for _, name := range listed {
		i := n.find(s, name)
		if i == None {
			continue
		}
		if before := seen[i]; before != nil {
			s.Twice(name, before, name.Text)
			continue
		}
		seen[i] = name
		list = append(list, i)
	}
	return list
}

// declare takes every name of the file into its name space and keeps what
// stands under each heading.
func (l *loader) declare(f yamldoc.Fields) {
	l.keyboards.kind, l.boxes.kind, l.divisions.kind, l.chests.kind = "keyboard", "box", "division", "chest"
	l.ranks.kind, l.controls.kind, l.shoes.kind, l.buttons.kind = "rank", "control", "shoe", "button"
	l.under = map[string][]yamldoc.Pair{}
	for _, s := range []struct {
		heading string
		names   *names
	}{
		{"keyboards", &l.keyboards}, {"boxes", &l.boxes}, {"divisions", &l.divisions}, {"chests", &l.chests}, {"ranks", &l.ranks},
		{"stops", &l.controls}, {"couplers", &l.controls}, {"ventils", &l.controls}, {"tremulants", &l.controls},
		{"transfers", &l.controls}, {"divides", &l.controls},
		{"sostenutos", &l.controls}, {"gatherings", &l.controls}, {"follows", &l.controls}, {"shoes", &l.shoes},
	} {
		l.under[s.heading] = f.ByID(s.heading, yamldoc.PlainID)
		for _, entry := range l.under[s.heading] {
			s.names.add(l.Source, entry.Key)
			if s.heading == "divisions" && entry.Value.Get("chest") != nil {
				l.chests.add(l.Source, entry.Key)
			}
		}
	}
}

// disown keeps the names that stand under headings the file cannot have: such a
// heading is told, and all that is unknown by it follows.
func (l *loader) disown(root *yamldoc.Node) {
	for _, p := range root.Pairs {
		if slices.Contains(fieldsOf["instrument"], p.Key.Text) {
			continue
		}
		for _, entry := range p.Value.Pairs {
			for _, n := range []*names{&l.keyboards, &l.boxes, &l.divisions, &l.chests, &l.ranks, &l.controls, &l.shoes, &l.buttons} {
				n.tell(entry.Key.Text)
			}
		}
	}
}

// mapped finds names in the section midi that nothing carries. Who reads the section
// does so too, and more, but cannot begin before the rest of the file has a meaning.
// Of controls and buttons it takes what can be no group: the ids with a hyphen.
func (l *loader) mapped() {
	for _, of := range []struct {
		heading string
		names   *names
		groups  bool
	}{
		{"keys", &l.keyboards, false}, {"lines", &l.divisions, false}, {"valves", &l.ranks, false}, {"shoes", &l.shoes, false},
		{"controls", &l.controls, true}, {"buttons", &l.buttons, true},
	} {
		section := l.in.MIDI.Get(of.heading)
		if section == nil {
			continue
		}
		for _, p := range section.Pairs {
			if !of.groups || yamldoc.PlainID.MatchString(p.Key.Text) && strings.Contains(p.Key.Text, "-") {
				of.names.find(l.Source, p.Key)
			}
		}
	}
}

// entry opens the fields of one entry and gives its name, which is its id
// when none is written.
func (l *loader) entry(of yamldoc.Pair, kind string) (f yamldoc.Fields, name string) {
	f = l.Fields(of.Value, article(kind), fieldsOf[kind])
	if name = f.Text("name"); name == "" {
		name = of.Key.Text
	}
	return f, name
}
