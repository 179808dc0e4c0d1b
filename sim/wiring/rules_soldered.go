package wiring

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
)

// apart is one thing that was not soldered where it is planned.
type apart struct {
	item Item
	row  int      // of the list of what was soldered
	pin  Terminal // where it was soldered
	plan Terminal // where it is planned; Pin is 0 where it is not
	from int      // its row of the plan
}

// solderedOtherwise compares the two lists where no proof does. An item that
// one of them lacks is another rule's, and so is a pin that has two things.
func solderedOtherwise(r *Relay, in *console.Instrument) []finding.Finding {
	if r.Wired == nil {
		return nil
	}
	lacking := map[Item]bool{}
	for _, l := range Lacks(r, in) {
		for _, item := range l.Items {
			lacking[item] = true
		}
	}
	planned, soldered := r.spotsOf(r.Plan), r.spotsOf(r.Wired)
	var found []finding.Finding
	var runs [][]apart
	for i, row := range r.Wired {
		for at := range min(len(row.Pins), len(row.Items)) {
			a := apart{item: row.Items[at], row: i, pin: row.Pins[at]}
			if !unproven(in, a.item) || lacking[a.item] || soldered.shared(a.pin) || planned.has(a.item, a.pin) {
				continue
			}
			if meant, is := planned.on[planned.net(a.pin)]; is && a.item.Kind == ControlKind && meant.Kind != SpareKind && !unproven(in, meant) {
				continue // a contact that a valve depends on lies elsewhere, of which the proof speaks
			}
			if spots := planned.of[a.item]; len(spots) > 0 {
				if a.plan, a.from = spots[0].pin, spots[0].row; planned.shared(a.plan) {
					continue
				}
			}
			k := slices.IndexFunc(runs, func(run []apart) bool { return slices.ContainsFunc(run, a.beside) })
			if k < 0 {
				k, runs = len(runs), append(runs, nil)
			}
			runs[k] = append(runs[k], a)
		}
	}
	for _, run := range runs {
		found = append(found, r.tellApart(in, run, planned))
	}
	return found
}

// unproven reports whether an item decides no valve. The contacts of ventils and
// tremulants work the wind alone.
func unproven(in *console.Instrument, item Item) bool {
	switch item.Kind {
	case ControlKind:
		kind := in.Controls[item.Index].Kind
		return kind == console.VentilControl || kind == console.TremulantControl
	case ButtonKind, StageKind, ShoeKind, KnobOnKind, KnobOffKind, ShadeKind, LampKind, VentilKind, TremulantKind:
		return true
	}
	return false
}

// beside reports whether two things are one mistake: a run of one kind on one
// board, or a pair that is exchanged.
func (a apart) beside(b apart) bool {
	step := a.pin.Pin - b.pin.Pin
	return a.item.Kind == b.item.Kind && a.pin.On == b.pin.On && (a.row == b.row || step == 1 || step == -1) || a.pin == b.plan && b.pin == a.plan
}

// tellApart makes a finding of a run.
func (r *Relay) tellApart(in *console.Instrument, run []apart, planned spots) finding.Finding {
	var pins []Terminal
	var items, meant []Item
	for _, a := range run {
		pins, items = append(pins, a.pin), append(items, a.item)
		if item, is := planned.on[planned.net(a.pin)]; is && item.Kind != SpareKind {
			meant = append(meant, item)
		}
	}
	where := "nothing is"
	if len(meant) > 0 {
		where = named(in, meant) + " " + areIs(len(meant))
	}
	f := fault(r.Wired[run[0].row].Place(ItemColumn), "", "%s: %s %s soldered where %s planned", r.runs(pins), named(in, items), areIs(len(items)), where)
	write := fmt.Sprintf("write %s in the plan if the plan is to follow", r.cells(in, run, func(a apart) Terminal { return a.pin }))
	if run[0].plan.Pin == 0 {
		f.Fix = "take it off, or " + write
		return f
	}
	f.Fix = fmt.Sprintf("solder %s, or %s", r.cells(in, run, func(a apart) Terminal { return a.plan }), write)
	f.Related = []finding.Related{{Place: r.Plan[run[0].from].Place(ItemColumn), Message: fmt.Sprintf("the plan has %s on %s", named(in, items[:1]), r.Name(run[0].plan))}}
	return f
}

// named says what items are: one thing with its numbers, two things, or how
// many there are from which to which.
func named(in *console.Instrument, items []Item) string {
	first, last := items[0], items[len(items)-1]
	one := func(i Item) bool { return i.Kind == first.Kind && i.Kind.noted() && i.Index == first.Index }
	switch {
	case !slices.ContainsFunc(items, func(i Item) bool { return !one(i) }), len(items) == 1:
		return Describe(in, items)
	case len(items) == 2:
		return Describe(in, items[:1]) + " and " + Describe(in, items[1:])
	}
	return fmt.Sprintf("%d items, %s to %s,", len(items), Describe(in, []Item{first}), Describe(in, []Item{last}))
}

// runs names terminals of several boards: N1.2, N2.3..4.
func (r *Relay) runs(terminals []Terminal) string {
	var words []string
	for len(terminals) > 0 {
		n := 1
		for n < len(terminals) && terminals[n].On == terminals[0].On {
			n++
		}
		words = append(words, r.run(terminals[:n]))
		terminals = terminals[n:]
	}
	return strings.Join(words, ", ")
}

// cells are the rows that put each thing on a pin: N2,3,knob-off,flute-8. Of
// more than two the first stands for all.
func (r *Relay) cells(in *console.Instrument, run []apart, pin func(apart) Terminal) string {
	var rows []string
	for len(run) > 0 {
		first, n := run[0], 1
		for n < len(run) && first.item.Kind.noted() && run[n].item.Kind == first.item.Kind && run[n].item.Index == first.item.Index && pin(run[n]).On == pin(first).On {
			n++
		}
		var pins []int
		var items []Item
		for _, a := range run[:n] {
			pins, items = append(pins, pin(a).Pin), append(items, a.item)
		}
		kind, item, _ := first.item.Words(in)
		rows = append(rows, strings.TrimRight(fmt.Sprintf("%s,%s,%s,%s,%s", r.Board(pin(first).On), FormatNumbers(pins), kind, item, formatItems(items)), ","))
		run = run[n:]
	}
	if len(rows) > 2 {
		return fmt.Sprintf("%s and %d more rows", rows[0], len(rows)-1)
	}
	return strings.Join(rows, " and ")
}

// spots is a list of rows by what hangs where. Terminals that joins connect
// are one place.
type spots struct {
	nets *Netlist
	of   map[Item][]spot
	on   map[Terminal]Item // by the first terminal of a net
	many map[Terminal]bool // nets that two different things hang on
}

type spot struct {
	pin Terminal
	row int
}

func (r *Relay) spotsOf(rows []Row) spots {
	s := spots{NetsOf(r, rows), make(map[Item][]spot, itemsOf(rows)), make(map[Terminal]Item, itemsOf(rows)), map[Terminal]bool{}}
	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			item, net := row.Items[at], s.net(row.Pins[at])
			s.of[item] = append(s.of[item], spot{row.Pins[at], i})
			if before, is := s.on[net]; is && before != item {
				s.many[net] = true
			} else {
				s.on[net] = item
			}
		}
	}
	return s
}

// net is the first terminal that joins connect with one.
func (s spots) net(t Terminal) Terminal {
	if net := s.nets.Of(t); net >= 0 {
		return s.nets.Terminals(net)[0]
	}
	return t
}

func (s spots) shared(t Terminal) bool { return s.many[s.net(t)] }

func (s spots) has(item Item, t Terminal) bool {
	return slices.ContainsFunc(s.of[item], func(at spot) bool { return s.net(at.pin) == s.net(t) })
}
