package rule

var wiringPages = []Page{
	{
		ID:    "other-instrument",
		Title: "The relay was made for another instrument",
		Text: "relay.yaml names the instrument it was made for, and another is being checked. The one on the " +
			"command line counts.",
		File:     "relay.yaml",
		Faulty:   "instrument: older.yaml",
		Repaired: "instrument: organ.yaml",
		Ignored:  "A relay is proven against the wrong organ.",
		Source:   "this program's file format",
	},
	{
		ID:    "pin-used-twice",
		Title: "Two things are wired to one pin",
		Text: "Two rows name the same pin, or a join leads to one that has a row or a join already; a pin listed as " +
			"spare has. An input pin is on while any of its contacts is made; an output pin works everything that " +
			"hangs on it. Whatever shares a pin cannot be told apart by the relay.",
		File: "wiring.csv",
		Faulty: `S1,2,stop,flute-8,,,,
S1,2,stop,flute-4,,,,`,
		Repaired: `S1,2,stop,flute-8,,,,
S1,3,stop,flute-4,,,,`,
		Ignored: "Two stops come on together, or two pipes speak as one.",
		Source:  "this program's file format",
	},
	{
		ID:       "pin-off-board",
		Title:    "A pin, terminal or wire that is not there",
		Text:     "A row counts past the end of a board, a strip or a cable.",
		File:     "wiring.csv",
		Faulty:   "X1,2..26,valve,principal,1..25,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "What hangs there is never worked.",
		Source:   "this program's file format",
	},
	{
		ID:    "pin-unlisted",
		Title: "No row says what a pin is for",
		Text: "A pin of a board is in no row of the wiring. Give pins that are not used a row of kind `spare`; " +
			"then a forgotten wire stands out.",
		File:     "relay.yaml",
		Faulty:   "  S1: {kind: input, pins: 10}",
		Repaired: "  S1: {kind: input, pins: 9}",
		Ignored:  "A forgotten row is not noticed before the organ is played.",
		Source:   "common practice, no source",
	},
	{
		ID:    "net-open",
		Title: "A strip's terminal leads nowhere",
		Text: "Something hangs on a terminal from which no join leads to a board, or a join leads to a terminal " +
			"on which nothing hangs.",
		File:     "wiring.csv",
		Faulty:   "J1,1..25,valve,principal,1..25,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "The current ends at the strip.",
		Source:   "this program's file format",
	},
	{
		ID:    "item-wired-twice",
		Title: "One thing is wired to two pins",
		Text: "The same contact, magnet or line hangs on two pins. Where that is meant (two consoles, doubled " +
			"contacts, two magnets to a big pipe, a thumb piston and a toe stud), both rows carry the same " +
			"`group`.",
		File: "wiring.csv",
		Faulty: `S1,4,coupler,choir-to-great,,,,thumb
S1,10,coupler,choir-to-great,,,,toe`,
		Repaired: `S1,4,coupler,choir-to-great,,,,both
S1,10,coupler,choir-to-great,,,,both`,
		Ignored: "One of the two pins was meant for something else, which is then on none.",
		Source:  "this program's file format",
	},
	{
		ID:    "item-not-wired",
		Title: "Something the instrument needs is on no pin",
		Text: "A key, control, note line, action or valve that the instrument has stands in no row. Coils, " +
			"lamps, buttons, shoes, stages and shades are asked for only where the wiring has some of the kind.",
		File: "wiring.csv",
		Faulty: `X1,1..24,valve,principal,1..24,,,
X1,25,spare,,,,,`,
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "It never works.",
		Source:   "this program's file format",
	},
	{
		ID:    "soldered-otherwise",
		Title: "Soldered otherwise than planned",
		Text: "A piston, crescendo stage, shoe, coil, shade, lamp or magnet of wind hangs on another pin in the " +
			"list `wired` than in the plan. These decide no valve, so the proof says nothing about them. What " +
			"does decide one is proven as it was soldered, and a wrong wire there is named by the proof.",
		File: "wired.csv",
		Faulty: `N1,1,knob-on,octave-4,,,,
N1,2,knob-on,principal-8,,,,`,
		Repaired: `N1,1,knob-on,principal-8,,,,
N1,2,knob-on,octave-4,,,,`,
		Ignored: "A piston draws the wrong knob, or shades open in the wrong order.",
		Source:  "this program's file format",
	},
	{
		ID:    "item-not-there",
		Title: "A row hangs up what does not exist there",
		Text: "A note line of a unit chest, an action of a rank that has none, a valve on a slider chest, a " +
			"contact on an output board, a magnet on an input board.",
		File:     "wiring.csv",
		Faulty:   "X1,1..25,note,great,C2..C4,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "The pins lead to nothing.",
		Source:   "this program's file format",
	},
	{
		ID:    "control-kind",
		Title: "A row calls a control something else than it is",
		Text: "The item decides what hangs on the pin; the kind of the row only says it again. Where they " +
			"disagree, one of them is a slip. `control` fits every control.",
		File:     "wiring.csv",
		Faulty:   "S1,4,stop,choir-to-great,,,,",
		Repaired: "S1,4,coupler,choir-to-great,,,,",
		Ignored:  "The item may be the wrong one.",
		Source:   "this program's file format",
	},
	{
		ID:    "ranges-differ",
		Title: "Ranges of one row have unequal lengths",
		Text: "The pins, notes and wires of a row are taken one by one. Where one list is longer, only the " +
			"common part counts.",
		File:     "wiring.csv",
		Faulty:   "X1,1..25,valve,principal,1..24,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "The last items of the longer list are lost, or everything behind a gap is shifted.",
		Source:   "this program's file format",
	},
	{
		ID:    "wire-used-twice",
		Title: "Two rows use one wire of a cable",
		Text:  "A wire of a cable stands in two rows, or in a row and a join.",
		File:  "wiring.csv",
		Faulty: `X2,1..49,valve,flute,1..49,CX2,1..49,
X3,1..25,valve,octave,1..25,CX2,26..50,`,
		Repaired: `X2,1..49,valve,flute,1..49,CX2,1..49,
X3,1..25,valve,octave,1..25,CX3,1..25,`,
		Ignored: "One of the two wires does not exist.",
		Source:  "this program's file format",
	},
	{
		ID:    "colour-disagrees",
		Title: "A wire's colour is not the one of its cable's code",
		Text: "The file says what colour a wire was tagged, and by the colour code of its cable that number has " +
			"another. In the 25-pair code pair p is wires 2p-1 and 2p: the first wire has the group's colour " +
			"(white, red, black, yellow, violet) with a band of the pair's (blue, orange, green, brown, " +
			"slate), the second the reverse. From wire 45 on, DIN 47100 has two variants: `din-47100-repeating` " +
			"begins again at white, `din-47100-three-colours` adds a third; `din-47100` allows both there. " +
			"Words and the letters of IEC 60757 both do: white-grey, WH-GY, WHGY.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 50, code: 25-pair, colours: {1: blue-white}}",
		Repaired: "  CX2: {wires: 50, code: 25-pair, colours: {1: white-blue}}",
		Ignored:  "Tip and ring of the pair are exchanged at one end.",
		Source:   "25-pair even-count code, ICEA S-80-576; DIN 47100; IEC 60757",
	},
	{
		ID:    "code-ends",
		Title: "A cable has more wires than its code has colours",
		Text: "The 25-pair code ends at wire 50, DIN 47100 with third colours at 60. Where DIN 47100 is not said to be of " +
			"one variant, its colours end at 44, for from there on the variants differ.",
		File:     "relay.yaml",
		Faulty:   "  CX3: {wires: 64, code: 25-pair}",
		Repaired: "  CX3: {wires: 50, code: 25-pair}",
		Ignored:  "Schedules and tags show no colour for these wires.",
		Source:   "ICEA S-80-576 and DIN 47100, as cable references give them",
	},
}
