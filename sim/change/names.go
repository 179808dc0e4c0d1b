package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// names are what a table calls the lines and the controls of another.
type names struct{ lines, labels map[string]string }

// namesOf finds the names of a table for those of a derived one by the pins: a
// label by what reads its pin, a line by what reads its notes from the same pins,
// or drives them to the same while the same controls are on.
func namesOf(derived, table []wiring.Switch) names {
	type place struct {
		kind wiring.SwitchKind
		note console.Note // 0 of a label
		pin  wiring.Terminal
		by   string // controls of a drive
	}
	n := names{map[string]string{}, map[string]string{}}
	each := func(s wiring.Switch, found func(p place, name string)) {
		for i := range s.Len() {
			switch {
			case s.Kind == wiring.Read && s.Line == "":
				found(place{kind: s.Kind, pin: s.Pins[i]}, s.Control[0].Label)
			case s.Kind != wiring.Couple && s.Line != "":
				found(place{s.Kind, s.Notes[i], s.Pins[i], wiring.FormatControl(s.Control)}, s.Line)
			}
		}
	}
	own := map[place]string{}
	for _, s := range table {
		each(s, func(p place, name string) { own[p] = name })
	}
	for _, s := range derived { // reads come first
		s.Control = n.literals(s.Control)
		each(s, func(p place, name string) {
			called, known := own[p]
			switch {
			case !known:
			case s.Line == "" && n.labels[name] == "":
				n.labels[name] = called
			case s.Line != "" && n.lines[name] == "":
				n.lines[name] = called
			}
		})
	}
	return n
}

// give gives rows the names of the table.
func (n names) give(rows []wiring.Switch) {
	for i := range rows {
		s := &rows[i]
		s.Control, s.Line, s.To = n.literals(s.Control), called(n.lines, s.Line), called(n.lines, s.To)
	}
}

func (n names) literals(list []wiring.Literal) []wiring.Literal {
	list = slices.Clone(list)
	for i := range list {
		list[i].Label = called(n.labels, list[i].Label)
	}
	return list
}

func called(names map[string]string, name string) string {
	if own := names[name]; own != "" {
		return own
	}
	return name
}
