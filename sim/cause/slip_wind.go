package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// windy guesses that a ventil or tremulant, its contact or its magnet, has pins
// exchanged with something that decides what opens. No valve depends on the one;
// so what is exchanged with it looks as if it alone were astray.
func (g *guesser) windy() {
	wrong := g.wrongItems()
	rows := g.r.Soldered()
	var winds, others []element
	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			switch item := row.Items[at]; {
			case works(g.in, item):
				winds = append(winds, element{i, at})
			case item.Kind == wiring.ControlKind || wrong[item] && !item.Given():
				others = append(others, element{i, at})
			}
		}
	}
	item := func(e element) wiring.Item { return rows[e.row].Items[e.at] }
	p := paper{g.in, g.r}
	for _, a := range winds {
		for _, b := range others {
			if item(a).Given() != item(b).Given() {
				continue
			}
			g.exchanged("pins-swapped", stretch{a}, stretch{b})
			if n := len(g.guesses); n > 0 && g.guesses[n-1].cure.unhang[a] && g.guesses[n-1].cure.unhang[b] {
				g.guesses[n-1].says = fmt.Sprintf("%s and %s: %s and %s are exchanged", pinWords(g.r, rows[a.row].Pins[a.at:a.at+1]),
					pinWords(g.r, rows[b.row].Pins[b.at:b.at+1]), p.thing([]wiring.Item{item(a)}), p.thing([]wiring.Item{item(b)}))
			}
		}
	}
}

// works reports whether an item is the contact or the magnet of a ventil or a
// tremulant.
func works(in *console.Instrument, item wiring.Item) bool {
	switch item.Kind {
	case wiring.VentilKind, wiring.TremulantKind:
		return true
	}
	return item.Kind == wiring.ControlKind && !counts(in, item)
}

// blows reports whether a ventil or a tremulant hangs on a pin.
func (g *guesser) blows(t wiring.Terminal) bool {
	net := g.w.nets.Of(t)
	return net >= 0 && slices.ContainsFunc(g.w.nets.Hung(net), func(h wiring.Hung) bool { return works(g.in, g.w.nets.Item(h)) })
}

// unlike is how many magnets of ventils and tremulants a relay does not work by
// the contact of their own knob, and how many rows of its table do not follow
// from its wiring, or lead to a line of keys.
func (m *model) unlike(r *wiring.Relay) (wind, strange int) {
	if r.Derived {
		return 0, 0
	}
	p, follows, keys := m.paper(), map[string]bool{}, map[string]bool{}
	usual := wiring.Derive(r, m.in)
	for _, s := range usual {
		follows[p.switchText(s)] = true
		if s.Kind == wiring.Drive && s.Line == "" && len(s.Control) > 0 && len(s.Pins) > 0 && isWind(m.in, s.Control[0].Label) && !worked(r.Switch, s.Pins[0], readAt(usual, s.Control[0].Label)) {
			wind++
		}
	}
	for _, s := range r.Switch {
		keys[s.Line] = keys[s.Line] || s.Kind == wiring.Read && s.Line != ""
	}
	for _, s := range r.Switch {
		if !follows[p.switchText(s)] {
			strange++
		}
		if keys[s.To] {
			strange++
		}
	}
	return wind, strange
}

func isWind(in *console.Instrument, id string) bool {
	return slices.ContainsFunc(in.Controls, func(c console.Control) bool {
		return c.ID == id && (c.Kind == console.VentilControl || c.Kind == console.TremulantControl)
	})
}

// worked reports whether a table drives a pin by what it reads from some pins alone.
func worked(table []wiring.Switch, pin wiring.Terminal, by []wiring.Terminal) bool {
	return slices.ContainsFunc(table, func(s wiring.Switch) bool {
		return s.Kind == wiring.Drive && s.Line == "" && slices.Contains(s.Pins, pin) &&
			len(s.Control) == 1 && !s.Control[0].Not && slices.Equal(readAt(table, s.Control[0].Label), by)
	})
}

// readAt are the pins from which a table reads a control.
func readAt(table []wiring.Switch, label string) (pins []wiring.Terminal) {
	for _, s := range table {
		if s.Kind == wiring.Read && s.Line == "" && len(s.Control) > 0 && s.Control[0].Label == label {
			pins = append(pins, s.Pins...)
		}
	}
	slices.SortFunc(pins, compareTerminals)
	return pins
}
