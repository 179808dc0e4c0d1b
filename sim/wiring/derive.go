package wiring

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/console/finding"
)

// Derive is the switching table that makes the relay play the instrument with
// the wiring as planned: its reads, then its lines, then its drives. A control
// is labelled with its id; lines carry the names of keyboards and divisions:
//
//	great-contacts  keys of the great before transfers, where there are any
//	great-keys      keys of the great
//	great-coupled   and those that couplers pull down, where any can
//	great-own       what own couplers of the great division read, where that differs
//	great           the line of the great division
//
// and the same with -2 behind for the second contact.
func Derive(r *Relay, in *console.Instrument) []Switch {
	d := &deriver{relay: r, in: in, wired: PinsOf(r, r.Plan), names: map[string]bool{}}
	d.nameDivisions()
	d.reads()
	d.transfers()
	d.lines()
	d.drives()
	return withoutUnread(withoutUnset(d.rows))
}

// deriver holds what Derive has made so far. Planes are the first and the
// second contact.
type deriver struct {
	relay *Relay
	in    *console.Instrument
	wired map[Item][]Terminal // pins of boards, by what hangs on them
	names map[string]bool     // of lines, in use

	keys, coupled [2][]line // by plane and keyboard: P and Q of the definition
	own           [2][]line // by plane and division: O
	division      [2][]line // by plane and division: L

	rows []Switch
}

// line is a line and the notes that can ever be on it.
type line struct {
	name  string
	notes []console.Note // ascending
}

// PinsOf finds the board pins of every item that rows hang up: inputs for what
// the console gives, outputs for what the relay drives.
func PinsOf(r *Relay, rows []Row) map[Item][]Terminal {
	nets := NetsOf(r, rows)
	places := make(map[Item][]Terminal, len(nets.hangs))
	for net := range nets.Len() {
		hung := nets.hung.of(net)
		if len(hung) == 0 {
			continue
		}
		input, hasInput := nets.Pin(net, Input)
		output, hasOutput := nets.Pin(net, Output)
		for _, h := range hung {
			item := nets.Item(nets.hangs[h])
			if item.Kind.given() && hasInput {
				places[item] = append(places[item], input)
			} else if !item.Kind.given() && hasOutput {
				places[item] = append(places[item], output)
			}
		}
	}
	return places
}

// unique is the name of a new line.
func (d *deriver) unique(name string, plane int) string {
	if plane == 1 {
		name += "-2"
	}
	for d.names[name] {
		name += "-b"
	}
	d.names[name] = true
	return name
}

func (d *deriver) nameDivisions() {
	for plane := range 2 {
		for _, division := range d.in.Divisions {
			d.division[plane] = append(d.division[plane], line{d.unique(division.ID, plane), spread(division.Notes)})
		}
		d.own[plane] = make([]line, len(d.in.Divisions))
	}
}

func spread(s console.Span) []console.Note {
	notes := make([]console.Note, 0, s.Len())
	for n := s.From; n <= s.To; n++ {
		notes = append(notes, n)
	}
	return notes
}

// reads puts the contacts of keys and controls on lines and labels.
func (d *deriver) reads() {
	for plane, kind := range []Kind{KeyKind, Key2Kind} {
		for k, keyboard := range d.in.Keyboards {
			name := keyboard.ID + "-keys"
			if d.transferred(k, 0) {
				name = keyboard.ID + "-contacts"
			}
			l := line{name, spread(keyboard.Keys)}
			if plane == 0 || keyboard.Touches == 2 {
				l.name = d.unique(name, plane)
				d.onPins(Switch{Kind: Read, Line: l.name}, l.notes, func(n console.Note) Item {
					return Item{kind, k, console.None, int(n)}
				})
			} else {
				l.notes = nil
			}
			d.keys[plane] = append(d.keys[plane], l)
		}
	}
	for c, control := range d.in.Controls {
		for _, pin := range d.wired[Item{ControlKind, c, console.None, 0}] {
			d.add(Switch{Kind: Read, Control: []Literal{{Label: control.ID}}, Pins: []Terminal{pin}})
		}
	}
}

// transferred reports whether a transfer from number t on exchanges keyboard k.
func (d *deriver) transferred(k, t int) bool {
	return slices.ContainsFunc(d.in.Transfers[t:], func(t console.Transfer) bool { return slices.Contains(t.Keyboards[:], k) })
}

// transfers exchanges keyboards, in the order of the file.
func (d *deriver) transfers() {
	for plane := range 2 {
		for t, transfer := range d.in.Transfers {
			a, b := transfer.Keyboards[0], transfer.Keyboards[1]
			both := [2]line{d.keys[plane][a], d.keys[plane][b]}
			notes := union(both[0].notes, both[1].notes)
			if len(notes) == 0 {
				continue
			}
			for i, k := range transfer.Keyboards {
				name := d.in.Keyboards[k].ID + "-keys"
				if d.transferred(k, t+1) {
					name = d.in.Keyboards[k].ID + "-after-" + transfer.ID
				}
				to := line{d.unique(name, plane), notes}
				d.couple(both[i], console.AllNotes, d.not(transfer.Control), 0, to)
				d.couple(both[1-i], console.AllNotes, d.is(transfer.Control), 0, to)
				d.keys[plane][k] = to
			}
		}
	}
}

func union(a, b []console.Note) []console.Note {
	both := slices.Concat(a, b)
	slices.Sort(both)
	return slices.Compact(both)
}

func (d *deriver) is(control int) []Literal {
	return []Literal{{Label: d.in.Controls[control].ID}}
}

func (d *deriver) not(control int) []Literal {
	return []Literal{{Label: d.in.Controls[control].ID, Not: true}}
}

func (d *deriver) add(s Switch) {
	s.At = finding.Place{File: d.relay.File}
	d.rows = append(d.rows, s)
}

// couple passes the notes of a line that lie within a span to another line,
// shifted, as far as that has them.
func (d *deriver) couple(from line, keys console.Span, by []Literal, shift int, to line) {
	row := Switch{Kind: Couple, Line: from.name, Control: by, To: to.name}
	for _, n := range within(from.notes, keys) {
		m := n + console.Note(shift)
		if _, has := slices.BinarySearch(to.notes, m); has {
			row.Notes = append(row.Notes, n)
			row.ToNotes = append(row.ToNotes, m)
		}
	}
	if len(row.Notes) > 0 {
		d.add(row)
	}
}

// withoutUnset takes out the rows that wait for a line which nothing sets: that
// of a division that no key reaches.
func withoutUnset(rows []Switch) []Switch {
	set := map[string]bool{}
	for grew := true; grew; {
		grew = false
		for _, row := range rows {
			to := row.To
			if row.Kind == Read {
				to = row.Line
			}
			if to != "" && !set[to] && (row.Kind == Read || set[row.Line]) {
				set[to], grew = true, true
			}
		}
	}
	return slices.DeleteFunc(rows, func(row Switch) bool { return row.Kind != Read && row.Line != "" && !set[row.Line] })
}

// withoutUnread takes out the couple rows to lines that lead to no drive.
func withoutUnread(rows []Switch) []Switch {
	read := map[string]bool{}
	for grew := true; grew; {
		grew = false
		for _, row := range rows {
			if row.Line != "" && !read[row.Line] && (row.Kind == Drive || row.Kind == Couple && read[row.To]) {
				read[row.Line], grew = true, true
			}
		}
	}
	return slices.DeleteFunc(rows, func(row Switch) bool { return row.Kind == Couple && !read[row.To] })
}

// onPins adds rows that read or drive the pins of a line's notes: a row for
// each board and, where items hang on several pins, for each turn.
func (d *deriver) onPins(row Switch, notes []console.Note, item func(console.Note) Item) {
	type piece struct{ on, turn int }
	found := map[piece]*Switch{}
	var order []piece
	for _, n := range notes {
		for turn, pin := range d.wired[item(n)] {
			p := piece{pin.On, turn}
			if found[p] == nil {
				copied := row
				found[p] = &copied
				order = append(order, p)
			}
			found[p].Notes = append(found[p].Notes, n)
			found[p].Pins = append(found[p].Pins, pin)
		}
	}
	slices.SortStableFunc(order, func(a, b piece) int { return cmp.Compare(a.turn, b.turn) })
	for _, p := range order {
		d.add(*found[p])
	}
}
