package gen

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// lane is a run of pins that a fault may mix up: those of one item of the
// wiring, or of one board's controls or actions, as they lie side by side;
// those of a join; or those of a switching row.
type lane struct {
	in    string
	notes bool // the pins follow notes or valves
	pins  []*wiring.Terminal
	rows  []*finding.Place // where each pin's row says that it stands
	hang  []wiring.Item    // what hangs on each; in a join or a switching row only its number tells it apart
}

func (l *lane) add(pin *wiring.Terminal, row *finding.Place, item wiring.Item) {
	l.pins, l.rows, l.hang = append(l.pins, pin), append(l.rows, row), append(l.hang, item)
}

// heard is the sort of thing that a wiring row hangs on its pins, "" for what
// has no part in which valves open.
func (p *planter) heard(row wiring.Row) string {
	if len(row.Items) == 0 {
		return ""
	}
	switch item := row.Items[0]; item.Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.NoteKind, wiring.ActionKind, wiring.ValveKind:
		return string(item.Kind)
	case wiring.ControlKind:
		switch p.in.Controls[item.Index].Kind {
		case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
			return string(item.Kind)
		}
	}
	return ""
}

// lanes lists the lanes of at least so many pins, with ofNotes only those
// whose pins follow notes or valves. Where joins lead is no fault where the
// switching is derived from it.
func (p *planter) lanes(least int, ofNotes bool) []lane {
	lanes := p.wiringLanes()
	if !p.relay.Derived {
		lanes = append(lanes, p.joinLanes()...)
		lanes = append(lanes, p.switchLanes()...)
	}
	return slices.DeleteFunc(lanes, func(l lane) bool { return len(l.pins) < least || ofNotes && !l.notes })
}

func (p *planter) wiringLanes() []lane {
	byName := map[string]*lane{}
	var order []string
	for i := range *p.rows {
		row := &(*p.rows)[i]
		in := p.heard(*row)
		if in == "" {
			continue
		}
		noted := in != string(wiring.ControlKind) && in != string(wiring.ActionKind)
		name := fmt.Sprint(in, " ", row.Pins[0].On)
		if noted {
			name = in + " " + row.Item
		}
		if byName[name] == nil {
			byName[name] = &lane{in: in, notes: noted}
			order = append(order, name)
		}
		for k := range row.Pins {
			byName[name].add(&row.Pins[k], &row.At, row.Items[k])
		}
	}
	var lanes []lane
	for _, name := range order {
		lanes = append(lanes, byName[name].sorted())
	}
	return lanes
}

func (p *planter) joinLanes() []lane {
	var lanes []lane
	for i := range p.relay.Joins {
		j := &p.relay.Joins[i]
		l := lane{in: "join", notes: len(j.To) > 1}
		for k := range j.To {
			l.add(&j.To[k], &j.At, wiring.Item{Note: k + 1})
		}
		lanes = append(lanes, l)
	}
	return lanes
}

func (p *planter) switchLanes() []lane {
	var lanes []lane
	for i := range p.relay.Switch {
		s := &p.relay.Switch[i]
		l := lane{in: string(s.Kind), notes: s.Line != ""}
		for k := range s.Pins {
			l.add(&s.Pins[k], &s.At, wiring.Item{Note: k + 1})
		}
		lanes = append(lanes, l)
	}
	return lanes
}

// sorted is a lane in the order in which its pins lie.
func (l lane) sorted() lane {
	order := make([]int, len(l.pins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return before(*l.pins[a], *l.pins[b]) })
	s := lane{in: l.in, notes: l.notes}
	for _, i := range order {
		s.add(l.pins[i], l.rows[i], l.hang[i])
	}
	return s
}

// choose takes a sort of lane first, so that the many valves do not hide the
// few keyboards, and then a lane.
func (p *planter) choose(lanes []lane) lane {
	var sorts []string
	for _, l := range lanes {
		if !slices.Contains(sorts, l.in) {
			sorts = append(sorts, l.in)
		}
	}
	in := pick(p, sorts)
	return pick(p, slices.DeleteFunc(lanes, func(l lane) bool { return l.in != in }))
}

// move takes what hangs on pin i of a lane to its pin to[i].
func (p *planter) move(l lane, to []int) {
	pins := make([]wiring.Terminal, len(to))
	for i, pin := range l.pins {
		pins[i] = *pin
	}
	after := make([]wiring.Item, len(to))
	for i, t := range to {
		if t >= 0 {
			after[t] = l.hang[i]
		}
	}
	for i, t := range to {
		if after[i] != l.hang[i] { // what hangs twice may hang there before and after
			p.fault.Pins = append(p.fault.Pins, pins[i])
		}
		if t == i {
			continue
		}
		*l.rows[i] = touched
		if *l.pins[i] = gone; t >= 0 {
			*l.pins[i] = pins[t]
		}
	}
	slices.SortFunc(p.fault.Pins, before)
}
