package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// inRuns joins rows that are alike but for their notes and pins, and puts
// notes in order.
func inRuns(rows []wiring.Switch) []wiring.Switch {
	var joined []wiring.Switch
	at := map[string]int{}
	for _, s := range rows {
		if s.Kind == wiring.Read && s.Line == "" || s.Picks != "" {
			joined = append(joined, s)
			continue
		}
		board := -1
		if len(s.Pins) > 0 {
			board = s.Pins[0].On
		}
		key := fmt.Sprint(s.Kind, s.Line, s.Control, s.To, board)
		i, known := at[key]
		if !known {
			at[key] = len(joined)
			joined = append(joined, s)
			continue
		}
		j := &joined[i]
		j.Notes, j.Pins, j.ToNotes = slices.Concat(j.Notes, s.Notes), slices.Concat(j.Pins, s.Pins), slices.Concat(j.ToNotes, s.ToNotes)
	}
	for i := range joined {
		joined[i] = ordered(joined[i])
	}
	return joined
}

// ordered is a row with its places in the order of its notes, or of its pins
// where it has none.
func ordered(s wiring.Switch) wiring.Switch {
	order := make([]int, s.Len())
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if s.Line != "" {
			return int(s.Notes[a] - s.Notes[b])
		}
		return compareTerminals(s.Pins[a], s.Pins[b])
	})
	return partOfSwitch(s, order)
}

// hangInRuns joins wiring rows of one board, kind, thing and cable.
func hangInRuns(rows []wiring.Row) []wiring.Row {
	slices.SortStableFunc(rows, func(a, b wiring.Row) int { return compareTerminals(a.Pins[0], b.Pins[0]) })
	var joined []wiring.Row
	at := map[string]int{}
	for _, row := range rows {
		item := row.Items[0]
		key := fmt.Sprint(row.Pins[0].On, row.Kind, item.Kind, item.Index, item.Of, row.Cable, len(row.Wires), row.Group)
		i, known := at[key]
		if !known || item.Note == 0 && item.Kind != wiring.SpareKind {
			at[key] = len(joined)
			joined = append(joined, row)
			continue
		}
		j := &joined[i]
		j.Pins, j.Items, j.Wires = slices.Concat(j.Pins, row.Pins), slices.Concat(j.Items, row.Items), slices.Concat(j.Wires, row.Wires)
	}
	return joined
}
