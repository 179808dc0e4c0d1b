package contact

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// magnet is one magnet: the net that drives it and the return it goes home by.
type magnet struct {
	net  int
	home int // index into the returns, console.None when straight home
	item wiring.Item
	feed Feed
}

// magnets lists what hangs on nets and is a magnet of a chest or a rank.
func magnets(r *wiring.Relay, e *Commons, nets *wiring.Netlist) []magnet {
	var list []magnet
	for net := range nets.Len() {
		for _, h := range nets.Hung(net) {
			item := nets.Item(h)
			switch item.Kind {
			case wiring.NoteKind, wiring.ValveKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
				list = append(list, magnet{net, e.home(item), item, e.feed(item)})
			}
		}
	}
	return list
}

// Sneak is a way by which current of a driven net reaches home through an open
// return: out of a magnet of the driven net, backwards through one of an idle
// net, and home by another that hangs beside it.
type Sneak struct {
	Return            int
	Out, Back, Beside wiring.Item
	Driven, Idle      int // nets
	ohms              [3]float64
}

// Sneaks are the shortest sneak ways of a relay, one for each return that can
// be open while the others are closed.
func (e *Commons) Sneaks(r *wiring.Relay) []Sneak {
	nets := wiring.Nets(r)
	all := magnets(r, e, nets)
	byNet := map[int][]magnet{}
	for _, m := range all {
		byNet[m.net] = append(byNet[m.net], m)
	}
	var list []Sneak
	for i, back := range e.returns {
		if back.Wires > 0 && back.Switch == console.None {
			continue
		}
		on := slices.DeleteFunc(slices.Clone(all), func(m magnet) bool { return m.home != i })
		if s, found := e.sneak(i, on, byNet); found {
			list = append(list, s)
		}
	}
	return list
}

func (e *Commons) sneak(open int, on []magnet, byNet map[int][]magnet) (Sneak, bool) {
	for _, back := range on {
		if back.feed.Diodes {
			continue
		}
		at := slices.IndexFunc(byNet[back.net], func(m magnet) bool { return m.home != open && e.leadsHome(m.home, open) })
		out := slices.IndexFunc(on, func(m magnet) bool { return m.net != back.net })
		if at >= 0 && out >= 0 {
			first, beside := on[out], byNet[back.net][at]
			return Sneak{open, first.item, back.item, beside.item, first.net, back.net, [3]float64{first.feed.Ohms, back.feed.Ohms, beside.feed.Ohms}}, true
		}
	}
	return Sneak{}, false
}

// leadsHome reports whether a return can be closed while another is open.
func (e *Commons) leadsHome(home, open int) bool {
	if home == console.None {
		return true
	}
	a, b := e.returns[home], e.returns[open]
	return a.Wires > 0 && (a.Switch == console.None || a.Switch != b.Switch || b.Wires == 0)
}

// Share is what part of the supply's voltage an open return floats to with one
// net driven and one idle, and the ohms of the whole way; ok is false where
// the ohms of a magnet are not given.
func (s Sneak) Share() (share, ohms float64, ok bool) {
	ohms = s.ohms[0] + s.ohms[1] + s.ohms[2]
	ok = s.ohms[0] > 0 && s.ohms[1] > 0 && s.ohms[2] > 0
	if !ok {
		return 0, 0, false
	}
	return (s.ohms[1] + s.ohms[2]) / ohms, ohms, true
}

// backFeeds says where magnets find each other, and which returns hang on a
// single wire whose loss would let them.
func backFeeds(r *wiring.Relay, in *console.Instrument, e *Commons) []finding.Finding {
	var found []finding.Finding
	nets := wiring.Nets(r)
	names := func(net int) string {
		if t, ok := nets.Pin(net, wiring.Output); ok {
			return r.Name(t)
		}
		return r.Name(nets.Terminals(net)[0])
	}
	said := map[int]bool{}
	for _, s := range e.Sneaks(r) {
		said[s.Return] = true
		back := e.returns[s.Return]
		when := "is open"
		fix := "connect the return; two wires home keep one break from doing this"
		if back.Wires > 0 {
			when = "is open while " + in.Controls[back.Switch].ID + " is off"
			fix = "put a diode in series with each magnet, or switch both commons by contacts that work together"
		}
		message := fmt.Sprintf("the return %s %s, and its magnets find each other: with %s driven, current runs through %s, backwards through %s, and home through %s on %s",
			back.ID, when, names(s.Driven), itemName(in, s.Out), itemName(in, s.Back), itemName(in, s.Beside), names(s.Idle))
		if share, ohms, ok := s.Share(); ok {
			message += fmt.Sprintf("; the return floats to %.1f of 12 V and the idle magnets carry %.1f mA", 12*share, 12_000/ohms)
		}
		found = append(found, finding.Finding{Rule: BackFeed, Severity: finding.Error, Place: back.at, Message: message, Fix: fix})
	}
	for i, back := range e.returns {
		switch {
		case back.Wires == 0 && !said[i]:
			found = append(found, finding.Finding{Rule: BackFeed, Severity: finding.Error, Place: back.at,
				Message: fmt.Sprintf("the return %s is open: no current of its magnets gets home", back.ID), Fix: "connect the return"})
		case back.Wires == 1 && back.Switch == console.None && e.wouldSneak(r, i):
			found = append(found, finding.Finding{Rule: BackFeed, Severity: finding.Note, Place: back.at,
				Message: fmt.Sprintf("the return %s hangs on one wire; should that break, its magnets find each other", back.ID), Fix: "run a second wire home"})
		}
	}
	return found
}

// wouldSneak reports whether a return that broke would let current run back.
func (e *Commons) wouldSneak(r *wiring.Relay, i int) bool {
	broken := &Commons{slices.Clone(e.returns), e.feeds}
	broken.returns[i].Wires = 0
	return slices.ContainsFunc(broken.Sneaks(r), func(s Sneak) bool { return s.Return == i })
}

// itemName is a magnet as wiring rows write it: bourdon:26, great C4.
func itemName(in *console.Instrument, item wiring.Item) string {
	switch item.Kind {
	case wiring.NoteKind:
		return strings.TrimSpace(in.Chests[item.Index].ID + " " + console.Note(item.Note).String())
	case wiring.ValveKind:
		return fmt.Sprintf("%s:%d", in.Ranks[item.Index].ID, item.Note)
	}
	return "the action of " + in.Ranks[item.Index].ID
}
