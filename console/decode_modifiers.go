package console

import "trundle/console/yamldoc"

// speeds reads the beats a second that a tremulant can be set to.
func (l *loader) speeds(n *yamldoc.Node) []float64 {
	var speeds []float64
	for _, item := range l.Texts(n) {
		speeds = append(speeds, l.Number(item, "a speed of a tremulant, in beats a second,", 0.1, 20, 1))
	}
	return speeds
}

func (l *loader) readSostenutos() {
	for _, entry := range l.under["sostenutos"] {
		f, name := l.entry(entry, "sostenuto")
		l.oneOf(entry.Key, f, "keyboard", "keyboards")
		s := Sostenuto{
			ID:        entry.Key.Text,
			Name:      name,
			Keyboards: l.keyboards.list(l.Source, f.Texts("keyboards")),
			At:        l.Place(entry.Key),
		}
		if k := l.keyboards.find(l.Source, f.Node("keyboard")); k != None {
			s.Keyboards = []int{k}
		}
		s.Control = l.control(entry.Key, name, SostenutoControl, len(l.in.Sostenutos), f)
		l.in.Sostenutos = append(l.in.Sostenutos, s)
	}
}

func (l *loader) readGatherings() {
	for _, entry := range l.under["gatherings"] {
		f, name := l.entry(entry, "gathering")
		g := Gathering{ID: entry.Key.Text, Name: name, Shoe: l.shoes.find(l.Source, f.Need("shoe")), At: l.Place(entry.Key)}
		g.Control = l.control(entry.Key, name, GatheringControl, len(l.in.Gatherings), f)
		l.in.Gatherings = append(l.in.Gatherings, g)
	}
}

func (l *loader) readFollows() {
	for _, entry := range l.under["follows"] {
		f, name := l.entry(entry, "follow")
		w := Follow{
			ID:       entry.Key.Text,
			Name:     name,
			Division: l.divisions.find(l.Source, f.Need("division")),
			With:     l.divisions.find(l.Source, f.Need("with")),
			At:       l.Place(entry.Key),
		}
		if w.Division == w.With && w.With != None {
			l.Wrong(f.Node("with"), "name another division", "a division cannot follow itself")
		}
		w.Control = l.control(entry.Key, name, FollowControl, len(l.in.Follows), f)
		l.in.Follows = append(l.in.Follows, w)
	}
}

// readTable reads the magnets of a box's engine, a list for every stage from 0.
func (l *loader) readTable(f yamldoc.Fields, b *Box) {
	n := f.Node("table")
	if b.Code != Table {
		if n != nil {
			l.Wrong(n, "say `code: table`, or take `table` away", "only the code table has a table")
		}
		return
	}
	if n = f.Need("table"); n == nil {
		return
	}
	if n.Kind != yamldoc.List || len(n.Items) != b.Stages+1 {
		l.Wrong(n, "write it like [[], [1], [2], [1, 2]]", "table lists the magnets at stage 0 to %d, %d lists in all", b.Stages, b.Stages+1)
		return
	}
	for _, row := range n.Items {
		magnets := []int{}
		for _, item := range l.Texts(row) {
			magnet, err := parseNumber(item.Text)
			if err != nil || magnet > mostMagnets {
				l.Wrong(item, "", "a magnet is a number from 1 to %d, not %q", mostMagnets, item.Text)
				continue
			}
			magnets = append(magnets, int(magnet))
		}
		b.Table = append(b.Table, magnets)
	}
	resting, stands := 0, RestClosed
	if b.Rest == RestOpen {
		resting, stands = b.Stages, RestOpen
	}
	if len(b.Table[resting]) > 0 {
		l.Wrong(n.Items[resting], "", "without a magnet the box is %s, so stage %d has none", stands, resting)
	}
}

// mostMagnets bounds the magnets of a box's engine.
const mostMagnets = 128
