package gen

import (
	"slices"

	"trundle/sim/wiring"
)

// settle splits rows of wiring until each names pins of one board or strip,
// as a row of a file does, and drops those that have none left.
func settle(rows []wiring.Row) []wiring.Row {
	var settled []wiring.Row
	for _, row := range rows {
		for len(row.Pins) > 0 {
			n := 1
			for n < len(row.Pins) && row.Pins[n].On == row.Pins[0].On {
				n++
			}
			settled = append(settled, part(row, 0, n))
			row = part(row, n, len(row.Pins))
		}
	}
	return settled
}

// part is pins i to j-1 of a row and what hangs on them.
func part(row wiring.Row, i, j int) wiring.Row {
	row.Pins = row.Pins[i:j:j]
	if row.Items != nil {
		row.Items = row.Items[i:j:j]
	}
	if row.Wires != nil {
		row.Wires = row.Wires[i:j:j]
	}
	return row
}

// settleJoins splits joins until both sides name terminals of one board or strip.
func settleJoins(joins []wiring.Join) []wiring.Join {
	var settled []wiring.Join
	for _, j := range joins {
		for len(j.From) > 0 {
			n := 1
			for n < len(j.From) && j.From[n].On == j.From[0].On && j.To[n].On == j.To[0].On {
				n++
			}
			settled = append(settled, partOfJoin(j, 0, n))
			j = partOfJoin(j, n, len(j.From))
		}
	}
	return settled
}

func partOfJoin(join wiring.Join, i, j int) wiring.Join {
	join.From, join.To = join.From[i:j:j], join.To[i:j:j]
	if join.Wires != nil {
		join.Wires = join.Wires[i:j:j]
	}
	return join
}

// resplit says the same as a list of wiring rows in other rows.
func (l *layout) resplit(rows []wiring.Row) []wiring.Row {
	var other []wiring.Row
	for _, row := range rows {
		for len(row.Pins) > 1 && l.IntN(3) == 0 {
			n := 1 + l.IntN(len(row.Pins)-1)
			other = append(other, part(row, 0, n))
			row = part(row, n, len(row.Pins))
		}
		other = append(other, row)
	}
	l.Shuffle(len(other), func(i, j int) { other[i], other[j] = other[j], other[i] })
	return slices.Clip(other)
}
