package console

import "trundle/console/yamldoc"

// readControls reads every knob, in the order of the name space `controls`.
func (l *loader) readControls() {
	l.readStops()
	l.readCouplers()
	l.readVentils()
	l.readTremulants()
	l.readTransfers()
	l.readDivides()
	l.readSostenutos()
	l.readGatherings()
	l.readFollows()
}

func (l *loader) readVentils() {
	for _, entry := range l.under["ventils"] {
		f, name := l.entry(entry, "ventil")
		v := Ventil{
			ID:     entry.Key.Text,
			Name:   name,
			Admits: l.ranks.list(l.Source, f.Texts("admits")),
			Cuts:   l.ranks.list(l.Source, f.Texts("cuts")),
			At:     l.Place(entry.Key),
		}
		l.oneOf(entry.Key, f, "admits", "cuts")
		v.Control = l.control(entry.Key, name, VentilControl, len(l.in.Ventils), f)
		l.in.Ventils = append(l.in.Ventils, v)
	}
}

// oneOf wants exactly one of two fields, and something in it.
func (l *loader) oneOf(id *yamldoc.Node, f yamldoc.Fields, a, b string) {
	first, second := f.Node(a), f.Node(b)
	switch {
	case !f.OK():
	case first == nil && second == nil:
		l.Wrong(id, "", "%s has neither %s nor %s", id.Text, a, b)
	case first != nil && second != nil:
		l.Wrong(second, "keep one of the two", "%s has both %s and %s", id.Text, a, b)
	case first != nil && empty(first):
		l.Wrong(first, "", "%s names nothing", a)
	case second != nil && empty(second):
		l.Wrong(second, "", "%s names nothing", b)
	}
}

// empty reports whether a node is a list or a map of nothing.
func empty(n *yamldoc.Node) bool {
	return n.Kind == yamldoc.List && len(n.Items) == 0 || n.Kind == yamldoc.Map && len(n.Pairs) == 0
}

func (l *loader) readTremulants() {
	for _, entry := range l.under["tremulants"] {
		f, name := l.entry(entry, "tremulant")
		l.oneOf(entry.Key, f, "division", "divisions")
		t := Tremulant{
			ID:        entry.Key.Text,
			Name:      name,
			Divisions: l.divisions.list(l.Source, f.Texts("divisions")),
			Speeds:    l.speeds(f.Node("speeds")),
			At:        l.Place(entry.Key),
		}
		if d := l.divisions.find(l.Source, f.Node("division")); d != None {
			t.Divisions = []int{d}
		}
		t.Control = l.control(entry.Key, name, TremulantControl, len(l.in.Tremulants), f)
		l.in.Tremulants = append(l.in.Tremulants, t)
	}
}

func (l *loader) readTransfers() {
	for _, entry := range l.under["transfers"] {
		f, name := l.entry(entry, "transfer")
		t := Transfer{ID: entry.Key.Text, Name: name, Keyboards: [2]int{None, None}, At: l.Place(entry.Key)}
		if n := f.Need("exchanges"); n != nil {
			if n.Kind != yamldoc.List || len(n.Items) != 2 {
				l.Wrong(n, "write it like [great, choir]", "exchanges is a list of two keyboards")
			} else if two := l.keyboards.list(l.Source, f.Texts("exchanges")); len(two) == 2 {
				t.Keyboards = [2]int(two)
			}
		}
		t.Control = l.control(entry.Key, name, TransferControl, len(l.in.Transfers), f)
		l.in.Transfers = append(l.in.Transfers, t)
	}
}

func (l *loader) readDivides() {
	for _, entry := range l.under["divides"] {
		f, name := l.entry(entry, "divide")
		d := Divide{
			ID:       entry.Key.Text,
			Name:     name,
			Keyboard: l.keyboards.find(l.Source, f.Need("keyboard")),
			Split:    l.note(f.Need("split")),
			At:       l.Place(entry.Key),
		}
		d.Control = l.control(entry.Key, name, DivideControl, len(l.in.Divides), f)
		l.in.Divides = append(l.in.Divides, d)
	}
}

// readTransposer reads `transposer: {low: -6, high: 6}`, in semitones.
func (l *loader) readTransposer(n *yamldoc.Node) {
	if n == nil {
		return
	}
	f := l.Fields(n, article("transposer"), fieldsOf["transposer"])
	f.Need("low")
	f.Need("high")
	l.in.Transposer = Reach{Low: f.Int("low", -24, 0, 0), High: f.Int("high", 0, 24, 0)}
}
