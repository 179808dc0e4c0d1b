package rule

var contactPages = []Page{
	{
		ID:    "phantom-key",
		Title: "A contact is read that is open",
		Text: "On a scanned board without diodes at its crossings, three closed contacts at corners of a " +
			"rectangle close a way round to the fourth, which is read as closed. A diode at every crossing, " +
			"all the same way round, prevents it. Two rows or columns that touch do the same to all their " +
			"contacts.",
		File:     "relay.yaml",
		Faulty:   "  K1: {kind: input, pins: 25, scan: {rows: 5, columns: 5, diodes: none}}",
		Repaired: "  K1: {kind: input, pins: 25, scan: {rows: 5, columns: 5, diodes: all}}",
		Ignored:  "Chords sound notes that nobody plays.",
		Source:   "the ghost key of a key matrix without diodes, known from keyboards of every kind",
	},
	{
		ID:    "masked-key",
		Title: "A contact is not read that is closed",
		Text: "The diode at a crossing stands the wrong way round, or its row or column leads nowhere: whatever " +
			"its contact does, no current comes through.",
		File:     "relay.yaml",
		Faulty:   "  K1: {kind: input, pins: 25, scan: {rows: 5, columns: 5, diodes: {reversed: [7]}}}",
		Repaired: "  K1: {kind: input, pins: 25, scan: {rows: 5, columns: 5, diodes: all}}",
		Ignored:  "A key is dead.",
		Source:   "a diode conducts one way",
	},
	{
		ID:    "back-feed",
		Title: "Current runs backwards through a magnet",
		Text: "A common return is open, or is switched, while its magnets hang in parallel with others: current " +
			"out of a driven magnet then runs backwards through its idle neighbours and home by another " +
			"return. Pipes speak that nobody plays, or none does.",
		File:     "relay.yaml",
		Faulty:   "returns: {flute-common: {of: [flute], wires: 0}}",
		Repaired: "returns: {flute-common: {of: [flute], wires: 2}}",
		Ignored:  "Notes sound together, or a rank is silent.",
		Source:   `Kirchhoff's laws; a celeste hung on the lines of its unison rank is a known case, common practice, no source`,
	},
}
