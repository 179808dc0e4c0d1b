package rule

var switchingPages = []Page{
	{
		ID:    "label-not-read",
		Title: "A row waits for what nothing sets",
		Text: "A control label that no `read` row sets is never on; a line that no row reads or couples to " +
			"never carries a note.",
		File:     "switching.csv",
		Faulty:   "drive,choir,C2..C5,flute-44,X2,13..49,,,",
		Repaired: "drive,choir,C2..C5,flute-4,X2,13..49,,,",
		Ignored:  "The row never does anything; with `!` before the label it always does.",
		Source:   "this program's file format",
	},
	{
		ID:       "row-twice",
		Title:    "A row stands in the switching twice",
		Text:     "A row says again what a row before it says. It does no harm, but it was perhaps meant to say something else.",
		File:     "switching.csv",
		Faulty:   "drive,choir,C2..C5,flute-8,X2,1..37,,,\ndrive,choir,C2..C5,flute-8,X2,1..37,,,",
		Repaired: "drive,choir,C2..C5,flute-8,X2,1..37,,,",
		Ignored:  "If one of the two rows is changed later, the other still does what both did.",
		Source:   "this program's file format",
	},
	{
		ID:       "reads-output",
		Title:    "A row reads pins of an output board",
		Text:     "A `read` row takes pins of a board that only drives.",
		File:     "switching.csv",
		Faulty:   "read,,,flute-4,X1,3,,,",
		Repaired: "read,,,flute-4,S1,3,,,",
		Ignored:  "The label is never on.",
		Source:   "this program's file format",
	},
	{
		ID:       "drives-input",
		Title:    "A row drives pins of an input board",
		Text:     "A `drive` row names pins of a board that only reads.",
		File:     "switching.csv",
		Faulty:   "drive,great,C2..C4,principal-8,K1,1..25,,,",
		Repaired: "drive,great,C2..C4,principal-8,X1,1..25,,,",
		Ignored:  "Nothing is driven.",
		Source:   "this program's file format",
	},
	{
		ID:    "picks-own-outcome",
		Title: "A row that picks depends on the note it picks",
		Text: "A row with `picks` chooses the lowest or highest note of its line. Where its outcome leads back " +
			"to that line, what it picks changes with what it picked, and no state is right.",
		File:     "switching.csv",
		Faulty:   "couple,great-keys,C2..C4,melody,,,great-keys,C2..C4,highest",
		Repaired: "couple,great-keys,C2..C4,melody,,,choir,C2..C4,highest",
		Ignored:  "The row passes nothing, and the relay is not decided.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
	{
		ID:    "magnet-differs",
		Title: "A magnet is not worked by the knob that it is named for",
		Text: "The magnet of a ventil or a tremulant is on exactly while its control is, whatever else is on. No valve " +
			"depends on it, so the proof of the valves cannot tell. Lamps of controls are held to the same where the table " +
			"lights some; coils of knobs and shades are not this table's to drive.",
		File:     "switching.csv",
		Faulty:   "drive,,,shake,X4,2,,,",
		Repaired: "drive,,,flutter,X4,2,,,",
		Ignored:  "A tremulant stands still, or shakes another division than the one it was drawn for.",
		Source:   "common practice, no source",
	},
}
