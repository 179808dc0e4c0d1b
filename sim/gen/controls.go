package gen

import (
	"slices"

	"trundle/console"
)

// winds adds ventils and tremulants.
func (m *maker) winds() {
	for range len(m.in.Ranks)/8 + m.IntN(2) {
		v := console.Ventil{ID: m.id("control", "wind"), Name: "Wind"}
		ranks := m.some(len(m.in.Ranks), 3)
		if m.oneIn(2) {
			v.Admits = ranks
		} else {
			v.Cuts = ranks
		}
		m.in.Ventils = append(m.in.Ventils, v)
	}
	for d, division := range m.in.Divisions {
		if m.oneIn(3) {
			m.in.Tremulants = append(m.in.Tremulants, console.Tremulant{
				ID: m.id("control", division.ID+"-tremulant"), Name: "Tremulant", Divisions: []int{d}})
		}
	}
}

// exchanges adds, rarely, a manual transfer, a pedal divide, a transposer.
func (m *maker) exchanges() {
	keyboards := m.in.Keyboards
	if keyboards[0].Keys == keyboards[1].Keys && keyboards[1].Kind == console.Manual && m.oneIn(3) {
		m.in.Transfers = append(m.in.Transfers, console.Transfer{
			ID: m.id("control", "transfer"), Name: "Manual Transfer", Keyboards: [2]int{0, 1}})
	}
	if m.oneIn(6) {
		pedal := len(keyboards) - 1
		keys := keyboards[pedal].Keys
		m.in.Divides = append(m.in.Divides, console.Divide{ID: m.id("control", "divide"), Name: "Pedal Divide",
			Keyboard: pedal, Split: keys.From + console.Note(1+m.IntN(keys.Len()-1))})
	}
	if m.oneIn(6) {
		m.in.Transposer = console.Reach{Low: -m.size.Octave / 2, High: m.size.Octave / 2}
	}
}

// some chooses one to most of the numbers below n, in ascending order.
func (m *maker) some(n, most int) []int {
	list := m.Perm(n)[:1+m.IntN(min(n, most))]
	slices.Sort(list)
	return list
}

// controls numbers all knobs; unison offs stand among the couplers.
func (m *maker) controls() {
	add := func(id, name string, kind console.ControlKind, index int) int {
		style := console.Moving
		if m.oneIn(6) {
			style = pick(m, []console.Style{console.Fixed, console.Lit})
		}
		m.in.Controls = append(m.in.Controls, console.Control{ID: id, Name: name, Kind: kind, Index: index, Style: style})
		return len(m.in.Controls) - 1
	}
	for i := range m.in.Stops {
		s := &m.in.Stops[i]
		s.Control = add(s.ID, s.Name, console.StopControl, i)
	}
	for i, j := 0, 0; i < len(m.in.Couplers) || j < len(m.in.UnisonOffs); {
		if j < len(m.in.UnisonOffs) && (i == len(m.in.Couplers) || m.oneIn(4)) {
			u := &m.in.UnisonOffs[j]
			u.Control = add(u.ID, u.Name, console.UnisonOffControl, j)
			j++
			continue
		}
		c := &m.in.Couplers[i]
		c.Control = add(c.ID, c.Name, console.CouplerControl, i)
		i++
	}
	for i := range m.in.Ventils {
		v := &m.in.Ventils[i]
		v.Control = add(v.ID, v.Name, console.VentilControl, i)
	}
	for i := range m.in.Tremulants {
		t := &m.in.Tremulants[i]
		t.Control = add(t.ID, t.Name, console.TremulantControl, i)
	}
	for i := range m.in.Transfers {
		t := &m.in.Transfers[i]
		t.Control = add(t.ID, t.Name, console.TransferControl, i)
	}
	for i := range m.in.Divides {
		d := &m.in.Divides[i]
		d.Control = add(d.ID, d.Name, console.DivideControl, i)
	}
}
