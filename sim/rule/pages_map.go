package rule

var mapPages = []Page{
	{
		ID:    "map-collides",
		Title: "One message means two things",
		Text: "The map gives the same message, on the same channel and going the same way, to two keys, controls, " +
			"buttons or shoes, or to on and off of one. Whoever hears it can only do one of them. A parameter of " +
			"its own number (nrpn) takes controllers 6, 38, 98 and 99 of its channel.",
		File:     "organ.yaml",
		Faulty:   "    couplers: notes from 38 on channel 10",
		Repaired: "    couplers: notes from 40 on channel 10",
		Ignored:  "A stop draws a coupler, or a piston plays a note.",
		Source:   "MIDI 1.0, channel messages",
	},
	{
		ID:    "link-slow",
		Title: "What the console says takes long on the link",
		Text: "A chord that one player can hold, a general, or a sweep of the crescendo causes more messages than the " +
			"link carries in time. The limits are `slow: {chord: 20ms, general: 100ms, sweep: 100ms}` of the map, " +
			"or what it says instead, and the link is a MIDI cable, `baud: 31250`, unless it says another.",
		File:     "organ.yaml",
		Faulty:   "  valves: {principal: channel 3, octave: channel 4, flute: channel 5}",
		Repaired: "  keys: {great: channel 3, choir: channel 4}",
		Ignored:  "Full chords are heard broken, and pistons late.",
		Source:   "MIDI 1.0: 31,250 baud, 10 bits a byte; the limits are a choice, no source",
	},
}
