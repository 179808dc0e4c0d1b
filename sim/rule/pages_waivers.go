package rule

var waiverPages = []Page{
	{
		ID:    "waiver-unused",
		Title: "A waiver that matches nothing",
		Text: "No finding has the rule and the place that a waiver names. What it waived has been put right, " +
			"has moved, or was never there. `at` is file:line, or the words by which a finding names a pin or " +
			"an item: S1.9, flute 4, great-to-pedal.",
		File:     "relay.yaml",
		Faulty:   "  - {rule: pin-unlisted, at: S1.109, reason: left for a tremulant}",
		Repaired: "  - {rule: pin-unlisted, at: S1.10, reason: left for a tremulant}",
		Ignored:  "The next finding at that place would be waived unseen.",
		Source:   "this program's file format",
	},
	{
		ID:    "waiver-refused",
		Title: "What cannot be waived",
		Text: "A waiver asks to pass over the proof, one of its causes, or a file without meaning. A relay that " +
			"plays wrong notes is not accepted by saying so; mend it, or change the instrument file if that " +
			"is what is wrong.",
		File:     "relay.yaml",
		Faulty:   "  - {rule: logic-differs, at: relay.yaml, reason: nobody will notice}",
		Repaired: "  - {rule: pin-unlisted, at: S1.10, reason: left for a tremulant}",
		Ignored:  "The finding stands as if there were no waiver.",
		Source:   "this program's file format",
	},
	{
		ID:    "waiver-without-reason",
		Title: "A waiver that does not say why",
		Text: "Every waiver has a `reason`, for whoever stands before the relay in ten years. Without one it " +
			"does nothing.",
		File:     "relay.yaml",
		Faulty:   "  - {rule: pin-unlisted, at: S1.10}",
		Repaired: "  - {rule: pin-unlisted, at: S1.10, reason: left for a tremulant}",
		Ignored:  "The finding stands as if there were no waiver.",
		Source:   "this program's file format",
	},
}
