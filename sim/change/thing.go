package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// crescendo is what rows call the stages of whichever sequence is chosen.
const crescendo = "crescendo"

// thingOf is a thing by its ids; named is false for what has none: spares,
// returns, feeds. What one division alone plays is that division's.
func thingOf(in *console.Instrument, item wiring.Item) (t thing, named bool) {
	t = thing{kind: item.Kind, note: item.Note}
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
	case wiring.StageKind:
		if t.id = crescendo; item.Index != console.None {
			t.id = in.Crescendo[item.Index].Name
		}
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
	if item.Of != console.None {
		t.of = in.Divisions[item.Of].ID
	} else if item.Kind == wiring.NoteKind || acts(item.Kind) {
		t.of = player(in, t)
	}
	return t, t.id != ""
}

// player is the one division that plays a note line or an action; "" where
// several do, or none.
func player(in *console.Instrument, t thing) string {
	var plays []int
	for c, chest := range in.Chests {
		if chest.HasNoteLines() && (t.kind == wiring.NoteKind && chest.ID == t.id || acts(t.kind) && holds(in, c, t.id)) {
			plays = append(plays, chest.Plays...)
		}
	}
	slices.Sort(plays)
	if plays = slices.Compact(plays); len(plays) != 1 {
		return ""
	}
	return in.Divisions[plays[0]].ID
}

func acts(kind wiring.Kind) bool {
	return kind == wiring.ActionKind || kind == wiring.ActionOnKind || kind == wiring.ActionOffKind
}

// holds reports whether valves of a rank stand on a chest.
func holds(in *console.Instrument, chest int, rank string) bool {
	return slices.ContainsFunc(in.Ranks, func(r console.Rank) bool {
		return r.ID == rank && slices.ContainsFunc(r.Stands, func(s console.Stand) bool { return s.Chest == chest })
	})
}

// itemsOf is every thing that a row may hang up, as an item.
func itemsOf(in *console.Instrument) map[thing]wiring.Item {
	items := map[thing]wiring.Item{}
	add := func(item wiring.Item) {
		if t, named := thingOf(in, item); named {
			items[t] = item
		}
	}
	for _, item := range wiring.Every(in) {
		add(item)
		if item.Kind == wiring.StageKind || item.Kind == wiring.ShadeKind { // also without a number
			item.Note = 0
			add(item)
		}
	}
	for c, chest := range in.Chests { // also those that a division has no note for
		for _, d := range chest.Plays {
			for n := chest.Notes.From; n <= chest.Notes.To && chest.HasNoteLines(); n++ {
				add(wiring.Item{Kind: wiring.NoteKind, Index: c, Of: wiring.NoteOf(chest, d), Note: int(n)})
			}
		}
	}
	return items
}

func button(in *console.Instrument, id string) int {
	return slices.IndexFunc(buttons(in), func(b console.Button) bool { return b.ID == id })
}

func buttons(in *console.Instrument) []console.Button {
	if in.Combination == nil {
		return nil
	}
	return in.Combination.Buttons
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
	case wiring.ShoeKind:
		for _, s := range in.Shoes {
			if s.ID == t.id {
				return s.Name
			}
		}
	case wiring.ShadeKind:
		for _, b := range in.Boxes {
			if b.ID == t.id {
				return b.Name
			}
		}
	}
	return t.id
}

// stands is the chest that the wire of an item goes to, "" when to none.
func stands(in *console.Instrument, item wiring.Item) string {
	valve := item.Kind == wiring.ValveKind
	if !valve && !acts(item.Kind) {
		return ""
	}
	for _, s := range in.Ranks[item.Index].Stands {
		if valve && s.From <= item.Note && item.Note <= s.To || !valve && in.Chests[s.Chest].HasNoteLines() {
			return in.Chests[s.Chest].ID
		}
	}
	return ""
}
