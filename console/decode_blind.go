package console

import (
	"strings"

	"trundle/console/yamldoc"
)

// readShoes reads the shoes; each drives boxes or the crescendo.
func (l *loader) readShoes(crescendo bool) {
	for _, entry := range l.under["shoes"] {
		of, name := l.entry(entry, "shoe")
		s := Shoe{ID: entry.Key.Text, Name: name, At: l.Place(entry.Key)}
		drives := of.Need("drives")
		if drives != nil && drives.Text == "crescendo" {
			s.Crescendo = true
			if !crescendo {
				l.Wrong(drives, "add crescendo with its stages", "shoe %s drives the crescendo, and there is none", s.ID)
			}
		} else if drives != nil && strings.EqualFold(drives.Text, "crescendo") {
			l.Unknown(drives, l.boxes.kind, drives.Text, []string{"crescendo"})
		} else if drives != nil {
			s.Boxes = l.boxes.list(l.Source, of.Texts("drives"))
			if empty(drives) {
				l.Wrong(drives, "", "shoe %s drives nothing", s.ID)
			}
		}
		l.in.Shoes = append(l.in.Shoes, s)
	}
}

// readCrescendo reads `{stages: [...]}`, one sequence without a name, or
// `{sequences: {name: [...]}}`.
func (l *loader) readCrescendo(n *yamldoc.Node) {
	if n == nil {
		return
	}
	f := l.Fields(n, article("crescendo"), fieldsOf["crescendo"])
	if n.Kind == yamldoc.Map {
		l.oneOf(&yamldoc.Node{Text: "crescendo", Line: n.Line, Column: n.Column}, f, "stages", "sequences")
	}
	if stages := f.Node("stages"); stages != nil {
		l.in.Crescendo = append(l.in.Crescendo, Sequence{Stages: l.stages(stages)})
	}
	for _, p := range f.Map("sequences") {
		if empty(p.Value) {
			l.Wrong(p.Value, "", "sequence %s has no stages", p.Key.Text)
		}
		l.in.Crescendo = append(l.in.Crescendo, Sequence{Name: p.Key.Text, Stages: l.stages(p.Value)})
	}
}

func (l *loader) stages(n *yamldoc.Node) []Stage {
	if n.Kind != yamldoc.List {
		l.Wrong(n, "write it like [[flute-8], [principal-8]]", "stages are a list, one item a stage")
		return nil
	}
	var stages []Stage
	for _, item := range n.Items {
		stages = append(stages, Stage{l.blind(item, "stage"), l.Place(item)})
	}
	return stages
}

// blind reads a list of controls that are added, or `{adds: [], drops: []}`.
func (l *loader) blind(n *yamldoc.Node, kind string) Blind {
	if n == nil {
		return Blind{}
	}
	if n.Kind != yamldoc.Map {
		return Blind{Adds: l.controls.list(l.Source, l.Texts(n))}
	}
	f := l.Fields(n, article(kind), fieldsOf[kind])
	return Blind{
		Adds:  l.controls.list(l.Source, f.Texts("adds")),
		Drops: l.controls.list(l.Source, f.Texts("drops")),
	}
}
