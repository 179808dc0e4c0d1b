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
}
