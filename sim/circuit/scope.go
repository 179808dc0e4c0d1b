package circuit

import (
	"slices"

	"trundle/console"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// scope is which items a class of magnets or a return is for: those of some
// chests and ranks, of some kinds, or of some kinds there.
type scope struct {
	chests, ranks []int
	kinds         []wiring.Kind
}

// magnetKinds are the items that magnets and lamps are behind.
var magnetKinds = []string{
	string(wiring.NoteKind), string(wiring.ActionKind), string(wiring.ActionOnKind), string(wiring.ActionOffKind),
	string(wiring.ValveKind), string(wiring.KnobOnKind), string(wiring.KnobOffKind), string(wiring.ShadeKind),
	string(wiring.VentilKind), string(wiring.TremulantKind), string(wiring.LampKind),
}

func readScope(source *yamldoc.Source, f yamldoc.Fields, in *console.Instrument) scope {
	var s scope
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
		if !slices.Contains(magnetKinds, n.Text) {
			source.Unknown(n, "kind of magnet", n.Text, magnetKinds)
			continue
		}
		s.kinds = append(s.kinds, wiring.Kind(n.Text))
	}
	return s
}

// has reports whether an item is in the scope.
func (s scope) has(item wiring.Item) bool {
	named := len(s.chests)+len(s.ranks) > 0
	if named {
		switch item.Kind {
		case wiring.NoteKind:
			named = slices.Contains(s.chests, item.Index)
		case wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
			named = slices.Contains(s.ranks, item.Index)
		default:
			named = false
		}
		return named && (s.kinds == nil || slices.Contains(s.kinds, item.Kind))
	}
	return slices.Contains(s.kinds, item.Kind)
}
