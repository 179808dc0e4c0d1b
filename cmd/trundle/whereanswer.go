package main

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// whereAnswer is where something is, in the shape of schema trundle.where/1.
type whereAnswer struct {
	Schema  string      `json:"schema"`
	Asked   string      `json:"asked"`
	Opens   string      `json:"opens"` // how a valve opens that has no magnet of its own, "" for others
	Nets    []netAnswer `json:"nets"`
	Unwired []string    `json:"unwired"` // that were asked for, are needed, or all there is by that name, and hang on no pin that could work them
}

// netAnswer is pins and terminals that are one to electricity, and all that
// has to do with them.
type netAnswer struct {
	Terminals []string     `json:"terminals"` // boards before strips
	Hangs     []hangAnswer `json:"hangs"`
	Legs      []legAnswer  `json:"legs"`
	Rows      []rowAnswer  `json:"rows"`
}

// wireAnswer is a wire of a cable; all empty where the files name none.
type wireAnswer struct {
	Cable  string `json:"cable"`
	Wire   int    `json:"wire"`
	Pair   int    `json:"pair"` // of a cable of pairs, else 0
	Colour string `json:"colour"`
}

// hangAnswer is what hangs on a terminal. A row that the plan and the solder
// share stands at its place in the solder.
type hangAnswer struct {
	Pin      string `json:"pin"`
	Kind     string `json:"kind"`
	Item     string `json:"item"`
	Note     string `json:"note"`
	Planned  bool   `json:"planned"`
	Soldered bool   `json:"soldered"`
	wireAnswer
	placeAnswer
}

type legAnswer struct {
	From string `json:"from"`
	To   string `json:"to"`
	wireAnswer
	placeAnswer
}

// rowAnswer is a switching row at one of the pins: what it reads or drives
// there. Derived rows have no line in a file.
type rowAnswer struct {
	Kind    string `json:"kind"` // read or drive
	Pin     string `json:"pin"`
	Line    string `json:"on"` // the line; empty where the control stands alone
	Note    string `json:"note"`
	Control string `json:"control"`
	placeAnswer
}

func answerNet(in *console.Instrument, r *wiring.Relay, nets *wiring.Netlist, net int) netAnswer {
	a := netAnswer{Terminals: []string{}, Hangs: []hangAnswer{}, Legs: []legAnswer{}, Rows: []rowAnswer{}}
	terminals := nets.Terminals(net)
	for _, t := range terminals {
		a.Terminals = append(a.Terminals, r.Name(t))
	}
	a.hang(in, r, net, r.Plan, true, r.Wired == nil)
	if r.Wired != nil {
		a.hang(in, r, net, r.Wired, false, true)
	}
	for _, leg := range nets.Legs(net) {
		j := r.Joins[leg.Join]
		a.Legs = append(a.Legs, legAnswer{r.Name(j.From[leg.At]), r.Name(j.To[leg.At]), wireOf(r, j.Cable, j.Wires, leg.At), placeAnswer(j.At)})
	}
	for _, row := range r.Switch {
		if row.Kind == wiring.Couple {
			continue
		}
		for i := range row.Len() {
			if !slices.Contains(terminals, row.Pins[i]) {
				continue
			}
			ra := rowAnswer{Kind: string(row.Kind), Pin: r.Name(row.Pins[i]), Line: row.Line, Control: wiring.FormatControl(row.Control), placeAnswer: placeAnswer(row.At)}
			if row.Line != "" {
				ra.Note = row.Notes[i].String()
			}
			a.Rows = append(a.Rows, ra)
		}
	}
	return a
}

// hang adds what rows hang on a net. What the plan hung there too is told once.
func (a *netAnswer) hang(in *console.Instrument, r *wiring.Relay, net int, rows []wiring.Row, planned, soldered bool) {
	nets := wiring.NetsOf(r, rows)
	for _, h := range nets.Hung(net) {
		row := rows[h.Row]
		kind, item, note := nets.Item(h).Words(in)
		one := hangAnswer{Pin: r.Name(row.Pins[h.At]), Kind: string(kind), Item: item, Note: note, Planned: planned, Soldered: soldered,
			wireAnswer: wireOf(r, row.Cable, row.Wires, h.At), placeAnswer: placeAnswer(row.At)}
		same := slices.IndexFunc(a.Hangs, func(b hangAnswer) bool {
			return b.Planned && !b.Soldered && b.Pin == one.Pin && b.Kind == one.Kind && b.Item == one.Item && b.Note == one.Note
		})
		if !planned && same >= 0 {
			one.Planned = true
			if one.Cable == "" {
				one.wireAnswer = a.Hangs[same].wireAnswer
			}
			a.Hangs[same] = one
			continue
		}
		a.Hangs = append(a.Hangs, one)
	}
}

// wireOf is the wire at one place of a run.
func wireOf(r *wiring.Relay, cable string, wires []int, at int) wireAnswer {
	if at >= len(wires) {
		return wireAnswer{Cable: cable}
	}
	w := wireAnswer{Cable: cable, Wire: wires[at], Colour: r.WireColour(cable, wires[at])}
	if i := slices.IndexFunc(r.Cables, func(c wiring.Cable) bool { return c.ID == cable }); i >= 0 && r.Cables[i].Code == wiring.Pairs25 {
		w.Pair = (w.Wire + 1) / 2
	}
	return w
}
