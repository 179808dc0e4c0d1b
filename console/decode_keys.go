package console

import "trundle/console/yamldoc"

// readPitch reads `pitch: {a4: 440, temperament: [0, -6, ...]}`.
func (l *loader) readPitch(n *yamldoc.Node) {
	l.in.Pitch.A4 = 440
	if n == nil {
		return
	}
	f := l.Fields(n, article("pitch"), fieldsOf["pitch"])
	l.in.Pitch.A4 = f.Number("a4", 380, 500, 440)
	cents := f.Node("temperament")
	if cents == nil {
		return
	}
	if cents.Kind != yamldoc.List || len(cents.Items) != 12 {
		l.Wrong(cents, "", "temperament is a list of 12 cents values, for C, C# and so on to B")
		return
	}
	for i, item := range cents.Items {
		l.in.Pitch.Temperament[i] = l.Number(item, "a cents value", -100, 100, 0)
	}
}

func (l *loader) readKeyboards() {
	for _, entry := range l.under["keyboards"] {
		f, name := l.entry(entry, "keyboard")
		f.Need("kind")
		f.Need("keys")
		l.in.Keyboards = append(l.in.Keyboards, Keyboard{
			ID:      entry.Key.Text,
			Name:    name,
			Kind:    KeyboardKind(f.Choice("kind", string(Manual), string(Manual), string(Pedal))),
			Keys:    l.span(f.Node("keys")),
			Touches: f.Int("touches", 1, 2, 1),
			At:      l.Place(entry.Key),
		})
	}
}

func (l *loader) readBoxes() {
	for _, entry := range l.under["boxes"] {
		f, name := l.entry(entry, "box")
		f.Need("stages")
		b := Box{
			ID:      entry.Key.Text,
			Name:    name,
			Stages:  f.Int("stages", 1, 128, 1),
			Code:    BoxCode(f.Choice("code", "", string(Thermometer), string(Weighted), string(Table))),
			Rest:    BoxRest(f.Choice("rest", "", string(RestClosed), string(RestOpen))),
			Softens: f.Number("softens", 0, 60, 0),
			At:      l.Place(entry.Key),
		}
		l.readTable(f, &b)
		l.in.Boxes = append(l.in.Boxes, b)
	}
}

// readDivisions reads the divisions, and the chest that each implies.
func (l *loader) readDivisions() {
	for _, entry := range l.under["divisions"] {
		f, name := l.entry(entry, "division")
		d := Division{
			ID:       entry.Key.Text,
			Name:     name,
			Keyboard: l.keyboards.find(l.Source, f.Node("keyboard")),
			Chest:    None,
			Box:      l.boxes.find(l.Source, f.Node("box")),
			At:       l.Place(entry.Key),
		}
		switch {
		case f.Node("keyboard") == nil:
			d.Notes = l.span(f.Need("notes"))
		case f.Node("notes") != nil:
			d.Notes = l.span(f.Node("notes"))
		case d.Keyboard != None:
			d.Notes = l.in.Keyboards[d.Keyboard].Keys
		}
		if f.Node("chest") != nil {
			d.Chest = len(l.in.Chests)
			l.in.Chests = append(l.in.Chests, Chest{
				ID: d.ID, Kind: chestKind(f, "chest"), Notes: d.Notes, Plays: []int{len(l.in.Divisions)}, At: l.Place(f.Node("chest")),
			})
		}
		l.in.Divisions = append(l.in.Divisions, d)
	}
}

func chestKind(f yamldoc.Fields, field string) ChestKind {
	return ChestKind(f.Choice(field, string(Unit), string(Unit), string(Slider), string(Pitman)))
}

// bottomC is where a rank begins unless it says otherwise: C2.
const bottomC Note = 36

// note is the note at a node, bottomC when there is none.
func (l *loader) note(n *yamldoc.Node) Note {
	if n == nil {
		return bottomC
	}
	note, err := ParseNote(l.Text(n))
	if err != nil && n.Kind == yamldoc.Scalar {
		l.Wrong(n, "", "%v", err)
	}
	return note
}

// span is the range of notes at a node, all notes when there is none.
func (l *loader) span(n *yamldoc.Node) Span {
	if n == nil {
		return AllNotes
	}
	span, err := ParseSpan(l.Text(n))
	if err != nil && n.Kind == yamldoc.Scalar {
		l.Wrong(n, "", "%v", err)
	}
	return span
}

// feet is the footage at a node, zero when there is none.
func (l *loader) feet(n *yamldoc.Node) Feet {
	if n == nil {
		return Feet{}
	}
	feet, err := ParseFeet(l.Text(n))
	if err != nil && n.Kind == yamldoc.Scalar {
		l.Wrong(n, "", "%v", err)
	}
	return feet
}
