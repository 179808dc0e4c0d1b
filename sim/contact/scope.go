package contact

import (
	"slices"

	"trundle/console"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// Scope is which magnets a class or a return is for: those of some chests, by
// their note lines, and ranks, by their valves and actions; of some kinds of
// wiring rows; or of some kinds there.
type Scope struct {
	chests, ranks []int
	kinds         []wiring.Kind
}

// magnetKinds are the items that magnets and lamps are behind.
var magnetKinds = []string{
	string(wiring.NoteKind), string(wiring.ActionKind), string(wiring.ActionOnKind), string(wiring.ActionOffKind),
	string(wiring.ValveKind), string(wiring.KnobOnKind), string(wiring.KnobOffKind), string(wiring.ShadeKind),
	string(wiring.VentilKind), string(wiring.TremulantKind), string(wiring.LampKind),
}

// IsMagnet reports a kind of items that magnets and lamps are behind.
func IsMagnet(kind wiring.Kind) bool { return slices.Contains(magnetKinds, string(kind)) }

// ReadScope reads the fields `of` and `kinds`.
func ReadScope(source *yamldoc.Source, f yamldoc.Fields, in *console.Instrument) Scope {
	var s Scope
	var ids []string
	for _, c := range in.Chests {
		ids = append(ids, c.ID)
	}
	for _, r := range in.Ranks {
		ids = append(ids, r.ID)
	}
	for _, n := range f.Texts("of") {
		known := false
		for i, c := range in.Chests {
			if c.ID == n.Text {
				s.chests, known = append(s.chests, i), true
			}
		}
		for i, r := range in.Ranks {
			if r.ID == n.Text {
				s.ranks, known = append(s.ranks, i), true
			}
		}
		if !known {
			source.Unknown(n, "chest or rank", n.Text, ids)
		}
	}
	for _, n := range f.Texts("kinds") {
		if !IsMagnet(wiring.Kind(n.Text)) {
			source.Unknown(n, "kind of magnet", n.Text, magnetKinds)
			continue
		}
		s.kinds = append(s.kinds, wiring.Kind(n.Text))
	}
	return s
}

// Has reports whether an item is in the scope.
func (s Scope) Has(item wiring.Item) bool {
	kind := slices.Contains(s.kinds, item.Kind)
	if len(s.chests)+len(s.ranks) == 0 {
		return kind
	}
	kind = kind || s.kinds == nil
	switch item.Kind {
	case wiring.NoteKind:
		return kind && slices.Contains(s.chests, item.Index)
	case wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
		return kind && slices.Contains(s.ranks, item.Index)
	}
	return false
}

// overlaps reports whether two scopes name a chest or a rank both, and kinds
// there that are the same. One that names none is for what others leave.
func (s Scope) overlaps(other Scope) bool {
	in := func(list []int) func(int) bool { return func(i int) bool { return slices.Contains(list, i) } }
	same := slices.ContainsFunc(s.chests, in(other.chests)) || slices.ContainsFunc(s.ranks, in(other.ranks))
	return same && (s.kinds == nil || other.kinds == nil ||
		slices.ContainsFunc(s.kinds, func(k wiring.Kind) bool { return slices.Contains(other.kinds, k) }))
}
