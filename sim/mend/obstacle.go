package mend

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Obstacle is a fault of the wiring that no switching can make up for.
type Obstacle struct {
	Message, Fix string // one line each
	At           finding.Place
	Pins         []wiring.Terminal // that carry what they should not
	Valves       []int             // valves that open otherwise than they should because of it, ascending

	items []wiring.Item // to hang elsewhere
	off   map[hook]bool // where to take them off first
}

// hook is a place where something hangs: of the soldered rows, and in one.
type hook struct{ row, at int }

// obstacles are what the instrument needs and no board's pin reaches, then
// what shares a pin with something else.
func obstacles(in *console.Instrument, r *wiring.Relay) []Obstacle {
	return append(missing(in, r), shared(in, r)...)
}

// missing has one obstacle for each run of items of one thing.
func missing(in *console.Instrument, r *wiring.Relay) []Obstacle {
	pins := wiring.PinsOf(r, r.Soldered())
	var list []Obstacle
	var run []wiring.Item
	end := func() {
		if len(run) > 0 {
			list = append(list, lacking(in, r, run))
			run = nil
		}
	}
	for _, item := range wiring.Needed(in) {
		on := item
		on.Kind = wiring.ActionOnKind
		if len(pins[item]) > 0 || item.Kind == wiring.ActionKind && len(pins[on]) > 0 {
			end()
			continue
		}
		if len(run) > 0 && (run[0].Kind != item.Kind || run[0].Index != item.Index || run[0].Of != item.Of) {
			end()
		}
		run = append(run, item)
	}
	end()
	return list
}

// lacking is the obstacle that items hang on no pin that could work them. Its
// place is where the solder, or else the plan, hangs the first of them.
func lacking(in *console.Instrument, r *wiring.Relay, items []wiring.Item) Obstacle {
	direction := wiring.Output
	if items[0].Given() {
		direction = wiring.Input
	}
	are := "hangs"
	if len(items) > 1 {
		are = "hang"
	}
	o := Obstacle{
		Message: fmt.Sprintf("%s %s on no pin of an %s board", wiring.Describe(in, items), are, direction),
		Fix:     "solder it to a spare pin, and mend again",
		At:      r.At.Wiring,
		items:   items,
	}
	for i, rows := range [][]wiring.Row{r.Soldered(), r.Plan} {
		for _, row := range rows {
			if at := slices.Index(row.Items, items[0]); at >= 0 {
				o.At = row.Place(wiring.PinsColumn)
				if at < len(row.Pins) {
					o.Pins = []wiring.Terminal{row.Pins[at]}
					o.Message += "; " + []string{"it is on ", "the plan has it on "}[i] + r.Name(row.Pins[at])
				}
				return o
			}
		}
	}
	return o
}

// shared has one obstacle for all pins on which the same rows meet.
func shared(in *console.Instrument, r *wiring.Relay) []Obstacle {
	nets := wiring.Nets(r)
	rows := r.Soldered()
	byRows := map[string]int{}
	var list []Obstacle
	for net := range nets.Len() {
		hooks, items := workedOn(nets, net)
		if len(items) < 2 {
			continue
		}
		var meet []int
		for _, h := range hooks {
			meet = append(meet, h.row)
		}
		slices.Sort(meet)
		key := fmt.Sprint(slices.Compact(meet))
		i, known := byRows[key]
		if !known {
			i = len(list)
			byRows[key] = i
			last := rows[hooks[len(hooks)-1].row]
			list = append(list, Obstacle{At: last.Place(wiring.PinsColumn), off: map[hook]bool{},
				Message: fmt.Sprintf("%s carries %s and %s", r.Name(nets.Terminals(net)[0]),
					wiring.Describe(in, items[:1]), wiring.Describe(in, items[1:2])),
				Fix: "give each a pin of its own, and mend again"})
		}
		o := &list[i]
		o.Pins = append(o.Pins, nets.Terminals(net)[0])
		o.items = append(o.items, items...)
		for _, h := range hooks {
			o.off[h] = true
		}
	}
	for i := range list {
		switch more := len(list[i].Pins) - 1; {
		case more == 1:
			list[i].Message += ", and so on for 1 pin more"
		case more > 1:
			list[i].Message += fmt.Sprintf(", and so on for %d pins more", more)
		}
	}
	return list
}

// workedOn is what a relay reads or drives on a net: every place, and every
// item once.
func workedOn(nets *wiring.Netlist, net int) (hooks []hook, items []wiring.Item) {
	_, input := nets.Pin(net, wiring.Input)
	_, output := nets.Pin(net, wiring.Output)
	for _, h := range nets.Hung(net) {
		item := nets.Item(h)
		var worked bool
		switch item.Kind {
		case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind:
			worked = input
		case wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind,
			wiring.VentilKind, wiring.TremulantKind:
			worked = output
		}
		if worked {
			hooks = append(hooks, hook{h.Row, h.At})
			if !slices.Contains(items, item) {
				items = append(items, item)
			}
		}
	}
	return hooks, items
}

// cure is the relay with these obstacles out of the way, and the switching that
// follows.
func cure(in *console.Instrument, r *wiring.Relay, these []Obstacle) *wiring.Relay {
	var items []wiring.Item
	off := map[hook]bool{}
	for _, o := range these {
		items = append(items, o.items...)
		for h := range o.off {
			off[h] = true
		}
	}
	freed := *r
	freed.Plan, freed.Wired = wiring.Without(r.Soldered(), func(row, at int) bool { return off[hook{row, at}] }), nil
	return derive(in, freed.WithHung(items))
}

// Lacks reports whether the obstacle is that an item hangs on no pin, among others.
func (o Obstacle) Lacks(item wiring.Item) bool { return o.off == nil && slices.Contains(o.items, item) }
