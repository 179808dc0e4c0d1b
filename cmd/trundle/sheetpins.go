package main

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// pinPapers is every pin of the wiring as soldered.
func pinPapers(in *console.Instrument, relay *wiring.Relay) []pinPaper {
	papers := []pinPaper{}
	for _, row := range relay.Soldered() {
		for i, pin := range row.Pins {
			p := pinPaper{Pin: relay.Name(pin), Kind: string(row.Kind), Item: row.Item, Cable: row.Cable, Group: row.Group}
			if i < len(row.Items) {
				_, _, p.Note = row.Items[i].Words(in)
			}
			if i < len(row.Wires) {
				p.Wire = row.Wires[i]
				p.Colour = wireColour(relay, row.Cable, p.Wire)
			}
			papers = append(papers, p)
		}
	}
	return papers
}

// wireColour is the colour that the file gives a wire, or else its code.
func wireColour(relay *wiring.Relay, cable string, wire int) string {
	for _, c := range relay.Cables {
		if c.ID != cable {
			continue
		}
		for _, given := range c.Colours {
			if given.Wire == wire {
				return given.Colour
			}
		}
		return wiring.Colour(c.Code, wire)
	}
	return ""
}
