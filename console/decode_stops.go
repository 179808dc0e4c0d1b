package console

import (
	"trundle/console/yamldoc"
)

func (l *loader) readStops() {
	for _, entry := range l.under["stops"] {
		f, name := l.entry(entry, "stop")
		s := Stop{
			ID:       entry.Key.Text,
			Name:     name,
			Division: l.divisions.find(l.Source, f.Need("division")),
			Feet:     l.feet(f.Node("feet")),
			Notes:    l.span(f.Node("notes")),
			Touch:    f.Int("touch", 1, 2, 1),
			At:       l.Place(entry.Key),
		}
		if f.Node("level") != nil {
			level := f.Number("level", -60, 140, 0)
			s.Level = &level
		}
		s.Takes = l.takes(entry.Key, f, s.Feet)
		s.Control = l.control(entry.Key, name, StopControl, len(l.in.Stops), f)
		l.in.Stops = append(l.in.Stops, s)
	}
}

// takes reads what a stop takes: one rank as a whole, or a list.
func (l *loader) takes(id *yamldoc.Node, f yamldoc.Fields, feet Feet) []Take {
	above, below := l.beyond(f, Silent, Silent)
	rank, list := f.Node("rank"), f.Node("takes")
	switch {
	case rank != nil && list != nil:
		l.Wrong(list, "keep one of the two", "stop %s has both rank and takes", id.Text)
		return nil
	case rank != nil:
		t := Take{Rank: l.ranks.find(l.Source, rank), Feet: feet, Notes: AllNotes, Above: above, Below: below, At: l.Place(rank)}
		return []Take{l.tune(t, id, nil, f.Node("feet") != nil)}
	case list == nil:
		if f.OK() {
			l.Wrong(id, "add rank, or takes with a list", "stop %s takes no rank", id.Text)
		}
		return nil
	case list.Kind != yamldoc.List || len(list.Items) == 0:
		l.Wrong(list, "write it like [{rank: bourdon, feet: 16}]", "takes is a list of ranks and what is taken from each")
		return nil
	}
	var takes []Take
	for _, item := range list.Items {
		of := l.Fields(item, article("take"), fieldsOf["take"])
		t := Take{Rank: l.ranks.find(l.Source, of.Need("rank")), Feet: feet, Notes: l.span(of.Node("notes")), At: l.Place(item)}
		t.Above, t.Below = l.beyond(of, above, below)
		own := of.Node("feet")
		if own != nil {
			t.Feet = l.feet(own)
		}
		takes = append(takes, l.tune(t, item, own, own != nil || f.Node("feet") != nil))
	}
	return takes
}

// tune gives a take its shift; own is the footage written beside it, if any, and
// given whether there is one beside it or its stop.
func (l *loader) tune(t Take, at, own *yamldoc.Node, given bool) Take {
	if t.Rank == None {
		return t
	}
	r := l.in.Ranks[t.Rank]
	switch {
	case len(r.Breaks) > 0:
		if own != nil {
			l.Wrong(at, "take `feet` away", "rank %s has breaks, so it is taken without footage", r.ID)
		}
		t.Feet = Feet{}
	case t.Feet.IsZero():
		if !given {
			l.Wrong(at, "add feet: "+footage(r.Feet), "no footage says how rank %s is taken", r.ID)
		}
	case !r.Feet.IsZero():
		t.Shift = t.Feet.Shift(r.Feet)
	}
	return t
}

// footage is feet for a message, 8 when there are none.
func footage(f Feet) string {
	if f.IsZero() {
		f = Foot(8)
	}
	return f.String()
}

// beyond reads `above`, `below` and `beyond`, which sets both.
func (l *loader) beyond(f yamldoc.Fields, above, below Beyond) (Beyond, Beyond) {
	if both := f.Node("beyond"); both != nil {
		for _, one := range []string{"above", "below"} {
			if f.Node(one) != nil {
				l.Wrong(f.Node(one), "keep beyond, or above and below", "beyond speaks of %s already", one)
			}
		}
		b := Beyond(f.Choice("beyond", string(Silent), string(Silent), string(Fold)))
		return b, b
	}
	return Beyond(f.Choice("above", string(above), string(Silent), string(Fold))),
		Beyond(f.Choice("below", string(below), string(Silent), string(Fold)))
}

// control adds a knob and gives its index.
func (l *loader) control(id *yamldoc.Node, name string, kind ControlKind, index int, f yamldoc.Fields) int {
	l.in.Controls = append(l.in.Controls, Control{
		ID:    id.Text,
		Name:  name,
		Kind:  kind,
		Index: index,
		Style: Style(f.Choice("style", string(Moving), string(Moving), string(Fixed), string(Lit))),
		At:    l.Place(id),
	})
	return len(l.in.Controls) - 1
}
