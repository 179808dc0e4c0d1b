package rule

var filePages = []Page{
	{
		ID:    "no-meaning",
		Title: "A value, field or line that means nothing",
		Text: "The file cannot be read at this place: bad syntax, a field that does not exist, a note, range or " +
			"footage that is none. All such places of all files are listed at once. Notes are written C4 " +
			"(middle C, MIDI key 60) or as MIDI numbers; pins, wires and valves count from 1; ranges include " +
			"both ends.",
		File:     "wiring.csv",
		Faulty:   "X1,1-25,valve,principal,1..25,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "No proof is run, and no other command works on the file.",
		Source:   "this program's file format; note names: scientific pitch and MIDI 1.0",
	},
	{
		ID:    "unknown-id",
		Title: "A name that nothing carries",
		Text: "A row or field names a stop, rank, keyboard, board or other thing that is not defined. Names are " +
			"compared letter by letter; the nearest known one is suggested.",
		File:     "wiring.csv",
		Faulty:   "X1,1..25,valve,principle,1..25,,,",
		Repaired: "X1,1..25,valve,principal,1..25,,,",
		Ignored:  "No proof is run, for nobody can say what was meant.",
		Source:   "this program's file format",
	},
	{
		ID:    "duplicate-id",
		Title: "One name for two things",
		Text: "A name stands twice where it must be the only one: two boards, two ranks, a file listed twice. " +
			"Controls of all kinds share one set of names; keyboards, divisions, chests, ranks, boxes and " +
			"boards each have their own.",
		File:     "relay.yaml",
		Faulty:   "wiring: [wiring.csv, wiring.csv]",
		Repaired: "wiring: [wiring.csv]",
		Ignored:  "No proof is run, for nobody can say which of the two was meant.",
		Source:   "this program's file format",
	},
	{
		ID:    "other-format",
		Title: "A file of another version",
		Text: "The field `format` says which version of the file's form is meant. This program reads version 1 " +
			"and refuses to guess at others.",
		File:     "relay.yaml",
		Faulty:   "format: 2",
		Repaired: "format: 1",
		Ignored:  "The file is not read at all.",
		Source:   "this program's file format",
	},
}
