package gen

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Fault is one mistake in a relay.
type Fault struct {
	Class       string
	In          string            // key, key-2, control, note, action or valve; input or output boards; join; read, couple or drive
	Description string            // what was done, in one line
	At          []finding.Place   // the rows of Relay's files that it changed or added; none where it took a row away
	Pins        []wiring.Terminal // the pins it moved, opened or bridged; none for a mistake in lines and controls
	Relay       *wiring.Relay     // with the fault, as the files say it
}

// Classes are the classes of faults: by the rule that speaks of them where
// there is one.
var Classes = slices.Concat(laneClasses(), rowClasses, switchClasses())

// Plant makes a fault of a class in a copy of a relay; it reports whether the
// relay has a place for one. Whether the fault can be heard is not said: two
// pins may be exchanged that nothing drives.
//
// A fault in the wiring is one of the wiring that is really there. A relay
// with derived switching gets a list of what was soldered, if it has none;
// nothing else can be wrong with it.
func Plant(seed uint64, r *wiring.Relay, in *console.Instrument, class string) (Fault, bool) {
	p := &planter{Rand: rand.New(rand.NewPCG(seed, 3)), relay: clone(r), in: in, fault: Fault{Class: class}}
	if r.Derived && r.Wired == nil {
		p.relay.Wired = p.relay.Plan
		p.relay.Plan = cloneRows(r.Plan)
	}
	p.rows = &p.relay.Plan
	if p.relay.Wired != nil {
		p.rows = &p.relay.Wired
	}
	var made bool
	switch {
	case slices.Contains(laneClasses(), class):
		made = p.inLane(class)
	case slices.Contains(rowClasses, class):
		made = p.inRows(class)
	default:
		made = !r.Derived && p.inSwitching(class)
	}
	if !made {
		return Fault{}, false
	}
	p.finish()
	return p.fault, true
}

// AnyFault makes a fault of some class in a copy of a relay.
func AnyFault(seed uint64, r *wiring.Relay, in *console.Instrument) Fault {
	order := rand.New(rand.NewPCG(seed, 4)).Perm(len(Classes))
	for _, class := range order {
		if f, ok := Plant(seed, r, in, Classes[class]); ok {
			return f
		}
	}
	panic("a relay with no pins")
}

// planter makes one fault.
type planter struct {
	*rand.Rand
	relay *wiring.Relay
	in    *console.Instrument
	rows  *[]wiring.Row // the wiring that is really there
	fault Fault
}

// touched is the place of a row that the fault changed, until all rows have
// their new places.
var touched = finding.Place{Line: -1}

// gone is the pin of an item that hangs on none any more.
var gone = wiring.Terminal{On: -1}

func (p *planter) describe(in, format string, args ...any) {
	p.fault.In, p.fault.Description = in, fmt.Sprintf(format, args...)
}

// finish takes out what is gone, splits rows that now name several boards, and
// says where the fault is.
func (p *planter) finish() {
	r := p.relay
	*p.rows = settle(withoutGone(*p.rows))
	r.Joins = settleJoins(joinsWithoutGone(r.Joins))
	r.Switch = switchWithoutGone(r.Switch)
	file := WiringFile
	if r.Wired != nil {
		file = WiredFile
	}
	for i, row := range *p.rows {
		if row.At == touched && (len(p.fault.Pins) == 0 || slices.ContainsFunc(row.Pins, func(t wiring.Terminal) bool { return slices.Contains(p.fault.Pins, t) })) {
			p.fault.At = append(p.fault.At, place(file, i))
		}
	}
	for i, j := range r.Joins {
		if j.At == touched {
			p.fault.At = append(p.fault.At, place(JoinsFile, i))
		}
	}
	for i, s := range r.Switch {
		if s.At == touched {
			p.fault.At = append(p.fault.At, place(SwitchingFile, i))
		}
	}
	number(r, p.in)
	p.fault.Relay = r
}

func withoutGone(rows []wiring.Row) []wiring.Row {
	for i := range rows {
		row := &rows[i]
		pins := row.Pins
		row.Pins = without(pins, pins)
		row.Items = without(row.Items, pins)
		row.Wires = without(row.Wires, pins)
	}
	return rows
}

func joinsWithoutGone(joins []wiring.Join) []wiring.Join {
	for i := range joins {
		j := &joins[i]
		to := j.To
		j.From, j.To, j.Wires = without(j.From, to), without(to, to), without(j.Wires, to)
	}
	return joins
}

func switchWithoutGone(rows []wiring.Switch) []wiring.Switch {
	for i := range rows {
		if s := &rows[i]; s.Kind != wiring.Couple {
			pins := s.Pins
			s.Pins, s.Notes = without(pins, pins), without(s.Notes, pins)
		}
	}
	return slices.DeleteFunc(rows, func(s wiring.Switch) bool { return s.Len() == 0 })
}

// without is a list less the members whose pin is gone.
func without[T any](list []T, pins []wiring.Terminal) []T {
	if list == nil {
		return nil
	}
	left := make([]T, 0, len(list))
	for i, t := range list {
		if pins[i] != gone {
			left = append(left, t)
		}
	}
	return left
}

// clone copies what faults change.
func clone(r *wiring.Relay) *wiring.Relay {
	c := *r
	c.Plan, c.Wired = cloneRows(r.Plan), cloneRows(r.Wired)
	c.Joins, c.Switch = slices.Clone(r.Joins), slices.Clone(r.Switch)
	for i := range c.Joins {
		j := &c.Joins[i]
		j.From, j.To = slices.Clone(j.From), slices.Clone(j.To)
	}
	for i := range c.Switch {
		s := &c.Switch[i]
		s.Pins, s.Notes, s.ToNotes, s.Control = slices.Clone(s.Pins), slices.Clone(s.Notes), slices.Clone(s.ToNotes), slices.Clone(s.Control)
	}
	return &c
}

func cloneRows(rows []wiring.Row) []wiring.Row {
	copied := slices.Clone(rows)
	for i := range copied {
		copied[i].Pins = slices.Clone(copied[i].Pins)
	}
	return copied
}

// before orders terminals by board and pin.
func before(a, b wiring.Terminal) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Pin, b.Pin))
}
