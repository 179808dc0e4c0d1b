package change

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// needs are the things of the new instrument that must be wired: all that
// decides which valves open; of coils, lamps, shades, stages and the like those
// of which the relay wires any, or the old instrument had none.
func (l *list) needs() []thing {
	had := map[wiring.Kind]bool{}
	for t := range l.had {
		had[t.kind] = true
	}
	return slices.DeleteFunc(l.complete(l.new), func(t thing) bool {
		switch t.kind {
		case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
			return false
		}
		return had[t.kind] && !l.kinds[t.kind]
	})
}

// complete is what a relay has that leaves nothing of an instrument out, in the
// order of its file. Where things may hang in more than one way, they hang as in
// this relay.
func (l *list) complete(in *console.Instrument) []thing {
	var all []thing
	need := func(t thing) { all = append(all, t) }
	for _, item := range wiring.Needed(in) {
		t, _ := thingOf(in, item)
		if in == l.old {
			t, _ = l.thing(item)
		}
		if t.kind != wiring.ActionKind {
			need(t)
		} else {
			for _, t.kind = range l.acts(t) {
				need(t)
			}
		}
		if t.kind == wiring.ControlKind {
			for _, t.kind = range coils(in.Controls[item.Index]) {
				need(t)
			}
		}
	}
	for _, b := range buttons(in) {
		need(thing{kind: wiring.ButtonKind, id: b.ID})
		if l.lit(b.Kind) {
			need(thing{kind: wiring.LampKind, id: b.ID})
		}
	}
	all = append(all, l.stages(in)...)
	drives := slices.ContainsFunc(l.old.Shoes, func(s console.Shoe) bool { return s.Crescendo && l.hung[thing{kind: wiring.ShoeKind, id: s.ID}] })
	for _, s := range in.Shoes {
		if !s.Crescendo || drives { // one that drives the crescendo has its stages otherwise
			need(thing{kind: wiring.ShoeKind, id: s.ID})
		}
	}
	for _, b := range in.Boxes {
		all = append(all, l.numbered(wiring.ShadeKind, b.ID, b.Magnets())...)
	}
	return all
}

// acts are the coils of an action: those that it has, for a new one those that
// the relay's others have.
func (l *list) acts(action thing) []wiring.Kind {
	on, off := action, action
	on.kind, off.kind = wiring.ActionOnKind, wiring.ActionOffKind
	if l.hung[on] || l.hung[off] || !l.hung[action] && !l.kinds[wiring.ActionKind] && l.kinds[wiring.ActionOnKind] {
		return []wiring.Kind{wiring.ActionOnKind, wiring.ActionOffKind}
	}
	return []wiring.Kind{wiring.ActionKind}
}

// coils are the output kinds that a control may have wires of.
func coils(c console.Control) []wiring.Kind {
	var kinds []wiring.Kind
	switch c.Style {
	case console.Moving, "":
		kinds = append(kinds, wiring.KnobOnKind, wiring.KnobOffKind)
	case console.Lit:
		kinds = append(kinds, wiring.LampKind)
	}
	switch c.Kind {
	case console.VentilControl:
		kinds = append(kinds, wiring.VentilKind)
	case console.TremulantControl:
		kinds = append(kinds, wiring.TremulantKind)
	}
	return kinds
}

// lit reports whether buttons of a kind have lamps: there were some, and all had.
func (l *list) lit(kind console.ButtonKind) bool {
	any := false
	for _, b := range buttons(l.old) {
		if b.Kind == kind {
			if any = true; !l.hung[thing{kind: wiring.LampKind, id: b.ID}] {
				return false
			}
		}
	}
	return any
}

// stages are the contacts of the crescendo: those that say how far its shoe is
// open whatever the sequence, unless the relay has contacts for each sequence.
func (l *list) stages(in *console.Instrument) (all []thing) {
	var apart, common bool
	for t := range l.hung {
		if t.kind == wiring.StageKind {
			apart, common = apart || t.id != crescendo, common || t.id == crescendo
		}
	}
	longest := 0
	for _, s := range in.Crescendo {
		longest = max(longest, len(s.Stages))
		before := slices.ContainsFunc(l.old.Crescendo, func(was console.Sequence) bool { return was.Name == s.Name })
		if hangs := l.boards[like{wiring.StageKind, s.Name}] != nil; apart && s.Name != "" && (hangs || !before) {
			all = append(all, l.numbered(wiring.StageKind, s.Name, len(s.Stages))...)
		}
	}
	if longest > 0 && (common || !apart) {
		all = append(all, l.numbered(wiring.StageKind, crescendo, longest)...)
	}
	return all
}

// numbered are the stages of a crescendo or the magnets of a box, 1 to last; or
// the one thing without a number by which such hang on the relay.
func (l *list) numbered(kind wiring.Kind, id string, last int) (all []thing) {
	bare, counted := false, false
	for t := range l.hung {
		if t.kind == kind && (t.id == id || l.boards[like{kind, id}] == nil) {
			bare, counted = bare || t.note == 0, counted || t.note > 0
		}
	}
	if bare && (!counted || l.hung[thing{kind: kind, id: id}]) {
		return []thing{{kind: kind, id: id}}
	}
	for n := 1; n <= last; n++ {
		all = append(all, thing{kind: kind, id: id, note: n})
	}
	return all
}
