package wiring

import (
	"slices"

	"trundle/console"
)

// mistaken is a row of a plan that says a second time what another row says, and
// should say what is on no pin.
type mistaken struct {
	row, twin int
	item      Item // on no pin
	sure      bool // that it is this row, not its twin
}

// mistakenRows are the rows of the plan that have one item that decides
// no valve, said twice, where one of the kind is on no pin: the row and the item
// that go best with what hangs on the pins beside.
func mistakenRows(r *Relay, in *console.Instrument) (all []mistaken) {
	on, first := map[Terminal]Item{}, map[Item]int{}
	type pair struct{ row, twin int }
	var twice []pair
	for i, row := range r.Plan {
		for at := range min(len(row.Pins), len(row.Items)) {
			on[row.Pins[at]] = row.Items[at]
		}
		if len(row.Items) != 1 || len(row.Pins) != 1 || row.Cells == nil || !unproven(in, row.Items[0]) {
			continue
		}
		if twin, is := first[row.Items[0]]; is && (row.Group == "" || row.Group != r.Plan[twin].Group) {
			twice = append(twice, pair{i, twin})
		} else {
			first[row.Items[0]] = i
		}
	}
	if len(twice) == 0 {
		return nil
	}
	lacking := map[Kind][]Item{}
	for _, l := range lacks(r, in, r.Plan, nil, nil) {
		for _, item := range l.Items {
			lacking[item.Kind] = append(lacking[item.Kind], item)
		}
	}
	// beside is how many of the pins on either side have the item before or after.
	beside := func(item Item, row int) (n int) {
		pin := r.Plan[row].Pins[0]
		for _, step := range []int{-1, 1} {
			next, is := on[Terminal{pin.On, pin.Pin + step}]
			if is && next.Kind == item.Kind && (next.Index == item.Index+step && next.Note == item.Note || next.Index == item.Index && next.Note == item.Note+step) {
				n++
			}
		}
		return n
	}
	for _, p := range twice {
		kind := r.Plan[p.row].Items[0].Kind
		var best mistaken
		most, known := 0, false
		for _, item := range lacking[kind] {
			for _, m := range []mistaken{{p.row, p.twin, item, true}, {p.twin, p.row, item, true}} {
				said := r.Plan[m.row].Items[0]
				fits := beside(item, m.row) - beside(said, m.row)
				switch {
				case !known || fits > most:
					best, most, known = m, fits, true
				case fits == most && item == best.item:
					best.sure = false
				case fits == most:
					best.item = Item{} // nothing tells which
				}
			}
		}
		if best.item == (Item{}) {
			continue
		}
		lacking[kind] = slices.DeleteFunc(lacking[kind], func(item Item) bool { return item == best.item })
		all = append(all, best)
	}
	return all
}
