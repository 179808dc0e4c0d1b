package gen

import (
	"fmt"
	"slices"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// laneClasses are the faults that move the pins of one run among themselves,
// or open some.
var laneClasses = []string{"pins-swapped", "run-shifted", "octave-off", "wires-off", "order-reversed", "pair-exchanged", "sides-mixed", "pin-open", "group-open"}

// lane is a run of pins that a fault may mix up: those of one item of the
// wiring, or of one board's controls or actions, as they lie side by side;
// those of a join; or those of a switching row.
type lane struct {
	in   string
	pins []*wiring.Terminal
	rows []*finding.Place // where each pin's row says that it stands
	hang []wiring.Item    // what hangs on each; in a join or a switching row only its number tells it apart
}

func (l *lane) add(pin *wiring.Terminal, row *finding.Place, item wiring.Item) {
	l.pins, l.rows, l.hang = append(l.pins, pin), append(l.rows, row), append(l.hang, item)
}

// heard is the sort of thing that a wiring row hangs on its pins, "" for what
// has no part in which valves open.
func heard(row wiring.Row) string {
	if len(row.Items) == 0 {
		return ""
	}
	switch kind := row.Items[0].Kind; {
	case kind == wiring.ControlKind && (row.Kind == wiring.VentilKind || row.Kind == wiring.TremulantKind):
		return ""
	case slices.Contains([]wiring.Kind{wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.NoteKind, wiring.ActionKind, wiring.ValveKind}, kind):
		return string(kind)
	}
	return ""
}

// lanes lists the lanes of at least so many pins.
func (p *planter) lanes(least int) []lane {
	byName := map[string]*lane{}
	var order []string
	for i := range *p.rows {
		row := &(*p.rows)[i]
		in := heard(*row)
		if in == "" {
			continue
		}
		name := in + " " + row.Item
		if in == string(wiring.ControlKind) || in == string(wiring.ActionKind) {
			name = fmt.Sprint(in, row.Pins[0].On)
		}
		if byName[name] == nil {
			byName[name] = &lane{in: in}
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
	if !p.relay.Derived { // where joins lead is what a derived table is made from
		for i := range p.relay.Joins {
			j := &p.relay.Joins[i]
			l := lane{in: "join"}
			for k := range j.To {
				l.add(&j.To[k], &j.At, wiring.Item{Note: k})
			}
			lanes = append(lanes, l)
		}
		for i := range p.relay.Switch {
			s := &p.relay.Switch[i]
			l := lane{in: string(s.Kind)}
			for k := range s.Pins {
				l.add(&s.Pins[k], &s.At, wiring.Item{Note: k})
			}
			lanes = append(lanes, l)
		}
	}
	return slices.DeleteFunc(lanes, func(l lane) bool { return len(l.pins) < least })
}

// sorted is a lane in the order in which its pins lie.
func (l lane) sorted() lane {
	order := make([]int, len(l.pins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return before(*l.pins[a], *l.pins[b]) })
	s := lane{in: l.in}
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

// inLane makes a fault of a class in some lane that is long enough for it; in
// a tiny relay also in one that is shorter than the octaves and cables of a
// real one.
func (p *planter) inLane(class string) bool {
	least := map[string]int{"octave-off": 4, "wires-off": 3, "sides-mixed": 3, "pin-open": 1, "group-open": 2}[class]
	lanes := p.lanes(max(least, 2))
	if class == "pin-open" {
		lanes = p.lanes(1)
	}
	if len(lanes) == 0 {
		return false
	}
	l := p.choose(lanes)
	n := len(l.pins)
	to := make([]int, n) // the pin that each item moves to, -1 when it hangs on none
	for i := range to {
		to[i] = i
	}
	what := ""
	switch class {
	case "pins-swapped":
		i := p.IntN(n)
		var others []int
		for j := range n {
			if l.hang[j] != l.hang[i] {
				others = append(others, j)
			}
		}
		if len(others) == 0 {
			return false
		}
		j := pick(p, others)
		to[i], to[j] = j, i
		what = fmt.Sprintf("%s and %s exchanged", p.relay.Name(*l.pins[i]), p.relay.Name(*l.pins[j]))
	case "run-shifted":
		k := pick(p, []int{1, 1, -1, 2})
		shift(to, k)
		what = fmt.Sprintf("shifted by %d", k)
	case "octave-off":
		width := min(12, n/2)
		first := p.IntN(n/width-1) * width
		for i := range width {
			to[first+i], to[first+width+i] = first+width+i, first+i
		}
		what = fmt.Sprintf("groups of %d exchanged", width)
	case "wires-off":
		width := p.width(n-1, 25, 50)
		for i := range to {
			to[i] = (i + width) % n
		}
		what = fmt.Sprintf("%d wires off", width)
	case "order-reversed":
		slices.Reverse(to)
		what = "in the opposite order"
	case "pair-exchanged":
		for i := 0; i+1 < n; i += 2 {
			to[i], to[i+1] = i+1, i
		}
		what = "both wires of every pair exchanged"
	case "sides-mixed":
		for i := range to {
			to[i] = i/2 + i%2*((n+1)/2)
		}
		what = "C side before C-sharp side"
	case "pin-open":
		i := p.IntN(n)
		to[i] = -1
		what = p.relay.Name(*l.pins[i]) + " open"
	case "group-open":
		width := p.width(n, 12, 16, 25, 32)
		first := p.IntN(n - width + 1)
		for i := range width {
			to[first+i] = -1
		}
		what = fmt.Sprintf("%d wires open", width)
	}
	p.describe(l.in, "%s from %s: %s", l.in, p.relay.Name(*l.pins[0]), what)
	p.move(l, to)
	return len(p.fault.Pins) > 0
}

// width is one of some widths that a lane has, half of the lane when it has none.
func (p *planter) width(most int, widths ...int) int {
	widths = slices.DeleteFunc(widths, func(w int) bool { return w > most })
	if len(widths) == 0 {
		return max(1, most/2)
	}
	return pick(p, widths)
}

// shift moves all by k; those that would pass an end hang on nothing.
func shift(to []int, k int) {
	for i := range to {
		if to[i] = i + k; to[i] < 0 || to[i] >= len(to) {
			to[i] = -1
		}
	}
}

// move takes what hangs on pin i of a lane to its pin to[i].
func (p *planter) move(l lane, to []int) {
	pins := make([]wiring.Terminal, len(to))
	for i, pin := range l.pins {
		pins[i] = *pin
	}
	for i, t := range to {
		if t == i || t >= 0 && l.hang[t] == l.hang[i] {
			continue // the same hangs there before and after
		}
		*l.rows[i] = touched
		p.fault.Pins = append(p.fault.Pins, pins[i])
		if *l.pins[i] = gone; t >= 0 {
			*l.pins[i] = pins[t]
		}
	}
	slices.SortFunc(p.fault.Pins, before)
}
