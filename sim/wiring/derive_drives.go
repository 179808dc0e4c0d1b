package wiring

import (
	"slices"

	"trundle/console"
)

// drives puts lines on note lines and valves, and controls on actions: steps
// 4, 5 and 7 of the definition of what sounds.
func (d *deriver) drives() {
	d.noteLines()
	for s := range d.in.Stops {
		d.valves(&d.in.Stops[s])
	}
	d.actions()
	for _, v := range d.in.Ventils {
		d.byControl(d.is(v.Control), Item{VentilKind, v.Control, console.None, 0})
	}
	for _, t := range d.in.Tremulants {
		d.byControl(d.is(t.Control), Item{TremulantKind, t.Control, console.None, 0})
	}
}

func (d *deriver) noteLines() {
	for c, chest := range d.in.Chests {
		if !chest.HasNoteLines() {
			continue
		}
		for _, division := range chest.Plays {
			touch, _ := d.in.NoteLineTouch(c, division)
			l := d.division[touch-1][division]
			d.onPins(Switch{Kind: Drive, Line: l.name}, l.notes, func(n console.Note) Item {
				return Item{NoteKind, c, NoteOf(chest, division), int(n)}
			})
		}
	}
}

// NoteOf is the Of of a note item: the division where the chest plays several.
func NoteOf(chest console.Chest, division int) int {
	if len(chest.Plays) > 1 {
		return division
	}
	return console.None
}

// valves drives the magnets of a stop's valves on unit chests.
func (d *deriver) valves(s *console.Stop) {
	plane := 0
	if s.Touch == 2 {
		plane = 1
	}
	l := d.division[plane][s.Division]
	for _, take := range s.Takes {
		notes := within(l.notes, s.Notes.Cut(take.Notes))
		d.onPins(Switch{Kind: Drive, Line: l.name, Control: d.is(s.Control)}, notes, func(n console.Note) Item {
			valve := d.in.Wants(take, n)
			if valve == console.None {
				return Item{} // which hangs on no pin
			}
			return Item{ValveKind, take.Rank, console.None, valve - d.in.Ranks[take.Rank].First + 1}
		})
	}
}

// actions lets the stops work the actions of their ranks.
func (d *deriver) actions() {
	for s, stop := range d.in.Stops {
		var seen []Item
		for _, take := range stop.Takes {
			for _, kind := range []Kind{ActionKind, ActionOnKind} {
				item := Item{kind, take.Rank, ActionOf(d.in, take.Rank, stop.Division), 0}
				if !slices.Contains(seen, item) && d.actsOn(s, item) {
					seen = append(seen, item)
				}
			}
		}
		d.byControl(d.is(stop.Control), seen...)
	}
	for r := range d.in.Ranks {
		for _, of := range actionsOf(d.in, r) {
			var none []Literal
			for s, stop := range d.in.Stops {
				if d.actsOn(s, Item{ActionKind, r, of, 0}) {
					none = append(none, d.not(stop.Control)...)
				}
			}
			d.byControl(none, Item{ActionOffKind, r, of, 0})
		}
	}
}

// ActionOf is the Of of an action: the division where several play the rank.
func ActionOf(in *console.Instrument, rank, division int) int {
	if len(divisionsOf(in, rank)) > 1 {
		return division
	}
	return console.None
}

// actsOn reports whether a stop works an action: it takes something of the rank
// for a division that the rank's chests play, the action's where it has one.
func (d *deriver) actsOn(stop int, action Item) bool {
	s := d.in.Stops[stop]
	return (action.Of == console.None || action.Of == s.Division) &&
		slices.ContainsFunc(s.Takes, func(t console.Take) bool { return t.Rank == action.Index && d.in.Acts(s, t) })
}

// divisionsOf are the divisions that play a rank by note lines, in the order
// of the instrument.
func divisionsOf(in *console.Instrument, rank int) []int {
	var list []int
	for _, stand := range in.Ranks[rank].Stands {
		if chest := in.Chests[stand.Chest]; chest.HasNoteLines() {
			list = append(list, chest.Plays...)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// actionsOf are the Of of a rank's actions: None for the one of a rank that
// one division plays by note lines, each of them where several do, and
// nothing where the rank stands on unit chests only.
func actionsOf(in *console.Instrument, rank int) []int {
	list := divisionsOf(in, rank)
	if len(list) == 1 {
		return []int{console.None}
	}
	return list
}

// byControl drives pins by controls alone, a row for each board.
func (d *deriver) byControl(by []Literal, items ...Item) {
	var order []int
	pins := map[int][]Terminal{}
	for _, item := range items {
		for _, pin := range d.wired[item] {
			if pins[pin.On] == nil {
				order = append(order, pin.On)
			}
			pins[pin.On] = append(pins[pin.On], pin)
		}
	}
	for _, on := range order {
		d.add(Switch{Kind: Drive, Control: by, Pins: pins[on]})
	}
}
