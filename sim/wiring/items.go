package wiring

import (
	"strconv"

	"trundle/console"
)

// Words are the cells by which a wiring row names an item: its kind, its name
// and, where it has one, its note, valve or stage number.
func (i Item) Words(in *console.Instrument) (kind Kind, item, note string) {
	kind = i.Kind
	switch i.Kind {
	case KeyKind, Key2Kind:
		return kind, in.Keyboards[i.Index].ID, console.Note(i.Note).String()
	case ControlKind:
		return controlRow(in.Controls[i.Index].Kind), in.Controls[i.Index].ID, ""
	case VentilKind, TremulantKind, KnobOnKind, KnobOffKind:
		return kind, in.Controls[i.Index].ID, ""
	case LampKind:
		if button := i.Index - len(in.Controls); button >= 0 {
			return kind, in.Combination.Buttons[button].ID, ""
		}
		return kind, in.Controls[i.Index].ID, ""
	case ButtonKind:
		return kind, in.Combination.Buttons[i.Index].ID, ""
	case ShoeKind:
		return kind, in.Shoes[i.Index].ID, ""
	case StageKind:
		if i.Index == console.None {
			return kind, "crescendo", numbered(i.Note)
		}
		return kind, in.Crescendo[i.Index].Name, numbered(i.Note)
	case NoteKind:
		note = console.Note(i.Note).String()
		return kind, in.Chests[i.Index].ID + ofDivision(in, i.Of), note
	case ActionKind, ActionOnKind, ActionOffKind:
		return kind, in.Ranks[i.Index].ID + ofDivision(in, i.Of), ""
	case ValveKind:
		return kind, in.Ranks[i.Index].ID, numbered(i.Note)
	case ShadeKind:
		return kind, in.Boxes[i.Index].ID, numbered(i.Note)
	}
	return kind, "", ""
}

func controlRow(kind console.ControlKind) Kind {
	switch kind {
	case console.StopControl:
		return StopKind
	case console.CouplerControl, console.UnisonOffControl:
		return CouplerKind
	case console.VentilControl:
		return VentilKind
	case console.TremulantControl:
		return TremulantKind
	}
	return ControlKind
}

func ofDivision(in *console.Instrument, division int) string {
	if division == console.None {
		return ""
	}
	return "/" + in.Divisions[division].ID
}

func numbered(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// noted reports whether items of a kind are told apart by notes, valves or
// stages.
func (k Kind) noted() bool {
	switch k {
	case KeyKind, Key2Kind, NoteKind, ValveKind, StageKind, ShadeKind:
		return true
	}
	return false
}
