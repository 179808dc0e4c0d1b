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
				p.Colour = relay.WireColour(row.Cable, p.Wire)
			}
			papers = append(papers, p)
		}
	}
	return papers
}
