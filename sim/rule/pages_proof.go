package rule

var proofPages = []Page{
	{
		ID:    "logic-differs",
		Title: "Some valve opens when it should not, or does not",
		Text: "In some state of keys and controls the wired relay opens other valves than the instrument asks " +
			"for. The smallest such state is shown, with a command that shows it pin by pin.",
		File:     "organ.yaml",
		Faulty:   "  octave-4: {name: Octave, division: great, feet: 4, rank: principal}",
		Repaired: "  octave-4: {name: Octave, division: great, feet: 4, rank: octave}",
		Ignored:  "The organ plays wrong notes.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
	{
		ID:    "proof-not-decided",
		Title: "The relay is neither proven nor refuted",
		Text: "The proof could not be brought to an end: a row that picks depends on its own outcome, or the " +
			"search was given up. It is an error, for what is not proven may be wrong.",
		File:     "switching.csv",
		Faulty:   "couple,great-keys,C2..B3,melody,,,great-keys,C#2..C4,highest",
		Repaired: "couple,great-keys,C2..C4,melody,,,choir,C2..C4,highest",
		Ignored:  "Nobody knows whether the relay plays the organ.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
}
