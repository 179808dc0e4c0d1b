package wiring

import "slices"

// WithHung is the relay with its soldered wiring and further items, each on a
// pin of its own that a board gets beyond its end: for asking what would be if
// they hung right. An item for which there is no board of its direction stays
// away.
func (r *Relay) WithHung(items []Item) *Relay {
	more := *r
	more.Boards = slices.Clone(r.Boards)
	rows := Without(r.Soldered(), func(row, at int) bool { return r.off(r.Soldered()[row].Pins[at]) })
	more.Joins = nil
	for _, j := range r.Joins {
		from, to := j.From[:0:0], j.To[:0:0]
		for i := range min(len(j.From), len(j.To)) {
			if !r.off(j.From[i]) && !r.off(j.To[i]) {
				from, to = append(from, j.From[i]), append(to, j.To[i])
			}
		}
		j.From, j.To = from, to
		more.Joins = append(more.Joins, j)
	}
	for _, s := range r.Switch { // no row may name the new pins by mistake
		for _, t := range s.Pins {
			more.Boards[t.On].Pins = max(more.Boards[t.On].Pins, t.Pin)
		}
	}
	for _, item := range items {
		direction := Output
		if item.Given() {
			direction = Input
		}
		on := slices.IndexFunc(more.Boards, func(b Board) bool { return b.Direction == direction })
		if on < 0 {
			continue
		}
		more.Boards[on].Pins++
		rows = append(rows, Row{At: r.At.Wiring, Kind: item.Kind, Pins: []Terminal{{on, more.Boards[on].Pins}}, Items: []Item{item}})
	}
	if more.Wired = rows; r.Wired == nil {
		more.Plan, more.Wired = rows, nil
	}
	return &more
}

// off reports whether there is no such terminal.
func (r *Relay) off(t Terminal) bool { return t.Pin > r.pins(t.On) }

// Without takes items off pins: rows without what hangs where off reports
// true. The rows keep their places.
func Without(rows []Row, off func(row, at int) bool) []Row {
	left := make([]Row, 0, len(rows))
	for i, row := range rows {
		pins, items := row.Pins[:0:0], row.Items[:0:0]
		for at := range min(len(row.Pins), len(row.Items)) {
			if !off(i, at) {
				pins, items = append(pins, row.Pins[at]), append(items, row.Items[at])
			}
		}
		row.Pins, row.Items = pins, items
		left = append(left, row)
	}
	return left
}
