package gen

import (
	"slices"

	"trundle/console"
)

var keyboardNames = []string{"great", "swell", "choir", "solo", "echo"}

// furtherDivisions are the names of divisions beyond one a keyboard.
var furtherDivisions = []string{"positive", "antiphonal", "gallery", "bombarde", "strings", "celestial"}

func (m *maker) keyboards() {
	low := console.Note(36)
	if m.size.Octave < 12 {
		low = 58 + console.Note(m.IntN(4))
	}
	add := func(name string, kind console.KeyboardKind, keys int) {
		k := console.Keyboard{ID: name, Name: title(name), Kind: kind, Touches: 1,
			Keys: console.Span{From: low, To: low + console.Note(keys-1)}}
		if kind == console.Manual && m.oneIn(8) {
			k.Touches = 2
		}
		m.in.Keyboards = append(m.in.Keyboards, k)
	}
	keys := pick(m, m.size.ManualKeys)
	for i := range m.count(m.size.Manuals) {
		if m.oneIn(3) {
			keys = pick(m, m.size.ManualKeys)
		}
		add(keyboardNames[i], console.Manual, keys)
	}
	add("pedal", console.Pedal, pick(m, m.size.PedalKeys))
}

// divisions gives each keyboard a division as far as they go; of the others
// some float and some share a manual with another.
func (m *maker) divisions() {
	n := m.count(m.size.Divisions)
	for i := range n {
		home, name := i, ""
		switch {
		case i < len(m.in.Keyboards):
			name = m.in.Keyboards[i].ID
		default:
			name = furtherDivisions[(i-len(m.in.Keyboards))%len(furtherDivisions)]
			home = m.IntN(len(m.in.Keyboards) - 1)
			if m.oneIn(3) {
				home = console.None
			}
		}
		m.in.Divisions = append(m.in.Divisions, m.division(m.id("division", name), home))
	}
	if n < len(m.in.Keyboards) && m.oneIn(2) { // the last manual has none, the pedal has one
		last := &m.in.Divisions[n-1]
		last.ID, last.Name, last.Keyboard = "pedal", "Pedal", len(m.in.Keyboards)-1
		last.Notes = m.in.Keyboards[last.Keyboard].Keys
	}
}

// division is as wide as its keyboard, or as an octave coupler needs, or a
// note shorter.
func (m *maker) division(id string, home int) console.Division {
	d := console.Division{ID: id, Name: title(id), Keyboard: home, Chest: console.None, Box: console.None}
	if home == console.None {
		d.Notes = m.in.Keyboards[0].Keys
	} else {
		d.Notes = m.in.Keyboards[home].Keys
	}
	d.Notes.To += console.Note(deal(m, "width", []int{m.size.Octave, 0, m.size.Octave, -1, m.size.Octave, m.size.Octave, 0}))
	if m.oneIn(3) {
		d.Box = len(m.in.Boxes)
		m.in.Boxes = append(m.in.Boxes, console.Box{ID: id + "-box", Name: title(id) + " Box", Stages: pick(m, []int{8, 16})})
	}
	return d
}

// chests gives every division a chest of its own, most by `chest:` in the
// division itself, some a unit chest beside it, and some pairs of divisions a
// chest that both play.
func (m *maker) chests() {
	divisions := m.in.Divisions
	m.lines, m.units = make([][]int, len(divisions)), make([][]int, len(divisions))
	kinds := []console.ChestKind{console.Slider, console.Unit, console.Pitman, console.Unit, console.Slider}
	var apart []int
	for d := range divisions {
		if m.oneIn(8) {
			apart = append(apart, d)
			continue
		}
		divisions[d].Chest = len(m.in.Chests)
		m.chest(divisions[d].ID, deal(m, "chest", kinds), divisions[d].Notes, d)
	}
	for _, d := range apart {
		m.chest(divisions[d].ID+"-main", deal(m, "chest", kinds), divisions[d].Notes, d)
	}
	for d := range divisions {
		if len(m.units[d]) == 0 && m.oneIn(3) {
			m.chest(divisions[d].ID+"-offset", console.Unit, console.Span{}, d)
		}
	}
	for n := len(divisions) / 3; n > 0; n-- {
		a, b := m.IntN(len(divisions)), m.IntN(len(divisions))
		if notes := divisions[a].Notes.Cut(divisions[b].Notes); a != b && notes.Len() > m.size.Octave {
			m.chest(divisions[a].ID+"-shared", pick(m, []console.ChestKind{console.Slider, console.Pitman}), notes, a, b)
		}
	}
	if !slices.ContainsFunc(m.units, func(of []int) bool { return len(of) > 0 }) {
		m.chest(divisions[0].ID+"-offset", console.Unit, console.Span{}, 0)
	}
}

// chest adds a chest that stands in the first of the divisions it plays.
func (m *maker) chest(id string, kind console.ChestKind, notes console.Span, plays ...int) {
	c := len(m.in.Chests)
	at := &m.units
	if kind != console.Unit {
		at = &m.lines
	}
	(*at)[plays[0]] = append((*at)[plays[0]], c)
	m.in.Chests = append(m.in.Chests, console.Chest{ID: m.id("chest", id), Kind: kind, Notes: notes, Plays: plays})
}
