package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// thingOf is a thing by its ids; named is false for what has none: spares,
// returns, feeds.
func thingOf(in *console.Instrument, item wiring.Item) (t thing, named bool) {
	t = thing{kind: item.Kind, note: item.Note}
	if item.Of != console.None {
		t.of = in.Divisions[item.Of].ID
	}
	switch item.Kind {
	case wiring.KeyKind, wiring.Key2Kind:
		t.id = in.Keyboards[item.Index].ID
	case wiring.ControlKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.VentilKind, wiring.TremulantKind:
		t.id = in.Controls[item.Index].ID
	case wiring.LampKind:
		if i := item.Index - len(in.Controls); i >= 0 {
			t.id = in.Combination.Buttons[i].ID
		} else {
			t.id = in.Controls[item.Index].ID
		}
	case wiring.ButtonKind:
		t.id = in.Combination.Buttons[item.Index].ID
	case wiring.ShoeKind:
		t.id = in.Shoes[item.Index].ID
	case wiring.ShadeKind:
		t.id = in.Boxes[item.Index].ID
	case wiring.NoteKind:
		t.id = in.Chests[item.Index].ID
	case wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		t.id = in.Ranks[item.Index].ID
	case wiring.ValveKind:
		rank := in.Ranks[item.Index]
		t.id, t.note = rank.ID, int(rank.Note(item.Note))
	default:
		return t, false
	}
	return t, true
}

// exists reports whether the new instrument has a thing that may be wired and
// need not be: a lamp, a shade, a shoe.
func (l *list) exists(t thing) bool {
	switch t.kind {
	case wiring.LampKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.VentilKind, wiring.TremulantKind:
		return slices.ContainsFunc(l.new.Controls, func(c console.Control) bool { return c.ID == t.id }) || button(l.new, t.id) >= 0
	case wiring.ShoeKind:
		return slices.ContainsFunc(l.new.Shoes, func(s console.Shoe) bool { return s.ID == t.id })
	case wiring.ShadeKind:
		return slices.ContainsFunc(l.new.Boxes, func(b console.Box) bool { return b.ID == t.id && t.note <= b.Stages })
	}
	return false
}

func button(in *console.Instrument, id string) int {
	if in.Combination == nil {
		return -1
	}
	return slices.IndexFunc(in.Combination.Buttons, func(b console.Button) bool { return b.ID == id })
}

// label is what the tag on a thing's wire says: the name of a control, button,
// keyboard or rank, of anything else its id.
func label(in *console.Instrument, t thing) string {
	switch t.kind {
	case wiring.ControlKind, wiring.KnobOnKind, wiring.KnobOffKind, wiring.VentilKind, wiring.TremulantKind, wiring.LampKind, wiring.ButtonKind:
		for _, c := range in.Controls {
			if c.ID == t.id {
				return c.Name
			}
		}
		if i := button(in, t.id); i >= 0 {
			return in.Combination.Buttons[i].Name
		}
	case wiring.KeyKind, wiring.Key2Kind:
		for _, k := range in.Keyboards {
			if k.ID == t.id {
				return k.Name
			}
		}
	case wiring.ValveKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		for _, rank := range in.Ranks {
			if rank.ID == t.id {
				return rank.Name
			}
		}
	}
	return t.id
}

// number is the number that a thing has among its like: a valve's, or its note.
func number(in *console.Instrument, t thing) int {
	for _, rank := range in.Ranks {
		if t.kind == wiring.ValveKind && rank.ID == t.id {
			return t.note - int(rank.From) + 1
		}
	}
	return t.note
}

// stands is the chest that a thing's wire goes to, "" when to none.
func stands(in *console.Instrument, t thing) string {
	valve := t.kind == wiring.ValveKind
	if !valve && t.kind != wiring.ActionKind && t.kind != wiring.ActionOnKind && t.kind != wiring.ActionOffKind {
		return ""
	}
	for _, rank := range in.Ranks {
		if rank.ID != t.id {
			continue
		}
		for _, s := range rank.Stands {
			if v := number(in, t); valve && s.From <= v && v <= s.To || !valve && in.Chests[s.Chest].HasNoteLines() {
				return in.Chests[s.Chest].ID
			}
		}
	}
	return ""
}

func (t thing) item() string {
	if t.of != "" {
		return t.id + "/" + t.of
	}
	return t.id
}
