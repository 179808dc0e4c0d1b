package cause

import (
	"encoding/binary"
	"slices"

	"trundle/sim/wiring"
)

// wantForms are the outputs by what each should do.
func (m *model) wantForms() map[string][]wiring.Item {
	forms := map[string][]wiring.Item{}
	for _, s := range slices.Concat(m.sites, m.absent) {
		if s.item == nothing {
			continue
		}
		for _, terms := range [][][]part{m.parts(s.want, m.class), m.whole(s.want, m.class)} {
			if form := formOf(terms); form != "" && !slices.Contains(forms[form], s.item) {
				forms[form] = append(forms[form], s.item)
			}
		}
	}
	return forms
}

// likest is the item most like another: of its kind and rank, or of its kind.
func likest(item wiring.Item, items []wiring.Item) wiring.Item {
	best, points := items[0], -1
	for _, i := range items {
		p := 0
		if i.Kind == item.Kind {
			p++
			if i.Index == item.Index && i.Of == item.Of {
				p++
			}
		}
		if p > points {
			best, points = i, p
		}
	}
	return best
}

// hangsOn reports whether an item hangs on a net.
func (m *model) hangsOn(net int, item wiring.Item) bool {
	return slices.ContainsFunc(m.rel.Nets.Hung(net), func(h wiring.Hung) bool { return m.rel.Nets.Item(h) == item })
}

// formOf is a key for terms, the same for the same terms in any order; "" for
// what is never true.
func formOf(terms [][]part) string {
	var keys []string
	for _, t := range terms {
		var ids []int
		for _, p := range t {
			id := int(p.class) * 2
			if p.not {
				id++
			}
			ids = append(ids, id)
		}
		slices.Sort(ids)
		var key []byte
		for _, id := range slices.Compact(ids) {
			key = binary.AppendUvarint(key, uint64(id))
		}
		keys = append(keys, string(key))
	}
	slices.Sort(keys)
	form := ""
	for _, k := range slices.Compact(keys) {
		form += k + "\xff;"
	}
	return form
}
