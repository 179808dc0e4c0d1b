package rule

var instrumentPages = []Page{
	{
		ID:    "bad-compass",
		Title: "Keys or notes that no console has",
		Text: "A compass is impossible or leaves nothing to act on: a manual of 97 keys, a pedal below C2, a " +
			"coupler whose keys lie outside its keyboard. Keys are named by what they are, not by the pitch " +
			"of a 16-foot stop: the lowest pedal key is C2.",
		File:     "organ.yaml",
		Faulty:   "  pedal: {kind: pedal, keys: C1..G3}",
		Repaired: "  pedal: {kind: pedal, keys: C2..G4}",
		Ignored:  "Every note that the relay is told about is an octave off.",
		Source:   "MIDI 1.0 numbers keys from middle C = 60, written C4; a pedal from C2 is common practice, no source",
	},
	{
		ID:    "stop-out-of-rank",
		Title: "A stop takes notes that its rank does not have",
		Text: "A take of a stop runs past an end of its rank, so that keys there are silent. That may be meant, " +
			"as for a celeste from tenor C, and is then a note; it is a warning when the take finds nothing " +
			"at all.",
		File:     "organ.yaml",
		Faulty:   "  flute-2: {name: Flute, division: choir, feet: 2, rank: flute}",
		Repaired: "  flute-2: {name: Flute, division: choir, feet: 2, rank: flute, above: fold}",
		Ignored:  "The top keys of an extension stay silent.",
		Source:   `the definition of what sounds, written out in console/plain; folding the top octave is common practice, no source`,
	},
	{
		ID:    "break-outside",
		Title: "A compound rank breaks beyond its keys",
		Text: "A break of a mixture lies above the highest key of its rank or below its lowest, or the lowest " +
			"keys have no rows of pipes. Each entry of `breaks` holds from its key up to the next.",
		File:     "organ.yaml",
		Faulty:   "  mixture: {division: great, family: principal, pipes: 61, breaks: {C2: [19, 22], C8: [15, 19]}}",
		Repaired: "  mixture: {division: great, family: principal, pipes: 61, breaks: {C2: [19, 22], C4: [15, 19]}}",
		Ignored:  "The pipe list and the pitches of the mixture are wrong.",
		Source:   "common practice, no source",
	},
	{
		ID:    "runaway-coupler",
		Title: "Couplers that carry all form a ring that climbs",
		Text: "Couplers with `carries: all` pull the other keyboard's keys down, so that its couplers follow. " +
			"Where they lead back to where they began, a semitone or an octave off, one key pulls down a " +
			"ladder of keys to the end of the compass.",
		File:     "organ.yaml",
		Faulty:   "  choir-to-great: {name: Choir to Great, division: choir, keyboard: great, carries: all, shift: 12}",
		Repaired: "  choir-to-great: {name: Choir to Great, division: choir, keyboard: great, carries: all}",
		Ignored:  "One key sounds every octave above it.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
	{
		ID:    "unreachable-division",
		Title: "No key reaches a division",
		Text: "A division that has no keyboard of its own floats, and plays only through couplers that lead to " +
			"it from some keyboard. This one has stops and no such coupler.",
		File:     "organ.yaml",
		Faulty:   "  echo: {notes: C2..C7, chest: unit}",
		Repaired: "  echo: {keyboard: choir, notes: C2..C7, chest: unit}",
		Ignored:  "Its stops can be drawn and never sound.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
	{
		ID:    "short-chest",
		Title: "A coupler runs past the top of its division",
		Text: "An octave coupler needs twelve notes more than the keyboard has, or its top keys give nothing. " +
			"It is a note: many organs are built so, and many have the longer chest.",
		File:     "organ.yaml",
		Faulty:   "  choir: {keyboard: choir, notes: C2..C7, chest: unit}",
		Repaired: "  choir: {keyboard: choir, notes: C2..C8, chest: unit}",
		Ignored:  "The top octave of the coupler is silent.",
		Source:   "common practice, no source",
	},
	{
		ID:    "slider-cannot",
		Title: "A chest with note lines cannot do what a stop asks",
		Text: "On a slider or pitman chest a pipe speaks where its note line meets the action of its rank. So a " +
			"stop can only take a whole rank at its own pitch, for a division whose notes the chest has. " +
			"Borrowing at another pitch needs a unit chest. A rank that stands on two such chests of a division has " +
			"one action, which opens it on both, so a stop takes what stands on both or none of it. And the note " +
			"lines of a division follow one contact of its keys: a stop of the second touch needs a chest to " +
			"which no stop of the first sends that division's notes.",
		File:     "organ.yaml",
		Faulty:   "  principal-4: {name: Principal, division: great, feet: 4, rank: principal}",
		Repaired: "  principal-4: {name: Principal, division: choir, feet: 4, rank: flute}",
		Ignored:  "The relay cannot be wired to do it, whatever its table says.",
		Source:   "common practice, no source; the definition of chests in console/plain",
	},
	{
		ID:    "piston-out-of-scope",
		Title: "A button names controls that are none of its own",
		Text: "A divisional takes the stops, tremulants, own couplers and unison off of its division; a general " +
			"takes all. A button that lists others, or that moves nothing at all, is probably a slip.",
		File:     "organ.yaml",
		Faulty:   "    great-1: {kind: divisional, division: great, scope: [principal-8, flute-8]}",
		Repaired: "    great-1: {kind: divisional, division: great, scope: [principal-8]}",
		Ignored:  "A piston under one manual changes the stops of another.",
		Source:   "common practice, no source",
	},
	{
		ID:    "odd-shift",
		Title: "A coupler shifts by neither octaves nor a fifth",
		Text: "Shifts count semitones: 12 is a 4-foot coupler, -12 a 16-foot one, 7 and 19 are quints. A shift that is " +
			"the number of a footage, like 4, is probably one, and a warning.",
		File:     "organ.yaml",
		Faulty:   "  choir-to-great-4: {name: Choir to Great, division: choir, keyboard: great, shift: 4}",
		Repaired: "  choir-to-great-4: {name: Choir to Great, division: choir, keyboard: great, shift: 12}",
		Ignored:  "The coupler plays major thirds.",
		Source:   "12 semitones an octave; common practice, no source",
	},
	{
		ID:    "odd-footage",
		Title: "A footage is that of no harmonic",
		Text: "Stops sound notes of the harmonic series, whose footages are parts of 64 feet by a whole number: 8, " +
			"2 2/3, 1 3/5, 8/9. Another is probably a slip.",
		File:     "organ.yaml",
		Faulty:   "  twelfth: {division: choir, family: flute, feet: 2 3/4, pipes: 61}",
		Repaired: "  twelfth: {division: choir, family: flute, feet: 2 2/3, pipes: 61}",
		Ignored:  "The rank sounds out of tune, or its stop at another pitch than meant.",
		Source:   "the harmonic series; Encyclopaedia Britannica, 11th edition, \"Organ\"",
	},
	{
		ID:    "stage-adds",
		Title: "A crescendo stage adds what players do not expect",
		Text: "A stage of the crescendo adds a celeste, a tremulant or a unison off. A crescendo builds up the " +
			"plain chorus; these are left out of it nearly everywhere.",
		File:     "organ.yaml",
		Faulty:   "    - [tremulant]",
		Repaired: "    - [flute-8]",
		Ignored:  "The full organ trembles, is out of tune, or is silent on one manual.",
		Source:   "common practice, no source",
	},
	{
		ID:    "stage-repeats",
		Title: "A crescendo stage adds what is on already",
		Text: "What a stage adds stays on in the stages after it, unless one drops it. A stage that adds it again adds " +
			"nothing by that; perhaps something else was meant.",
		File:     "organ.yaml",
		Faulty:   "    - [flute-8]\n    - [flute-8]",
		Repaired: "    - [flute-8]\n    - [principal-8]",
		Ignored:  "The crescendo has a step at which nothing changes.",
		Source:   "the definition of a crescendo in console: a stage has on what all stages up to it add",
	},
	{
		ID:    "sounds-twice",
		Title: "Two stops, couplers or unison offs do the same",
		Text: "With one of the two on, the other changes nothing. It may be meant; or a shift has the wrong sign, or a " +
			"footage, a rank or a division was copied with its line.",
		File:     "organ.yaml",
		Faulty:   "  choir-to-great-4: {name: Choir to Great, division: choir, keyboard: great, shift: -12}",
		Repaired: "  choir-to-great-4: {name: Choir to Great, division: choir, keyboard: great, shift: 12}",
		Ignored:  "One of the two knobs does nothing that the other does not.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
	{
		ID:       "never-used",
		Title:    "A rank that no stop takes, or a box that no shoe drives",
		Text:     "Pipes that no stop takes never sound, and shades that no shoe drives never move.",
		File:     "organ.yaml",
		Faulty:   "  choir-box: {stages: 8}\n  echo-box: {stages: 8}",
		Repaired: "  choir-box: {stages: 8}",
		Ignored:  "It is built and cannot be played.",
		Source:   "the definition of what sounds, written out in console/plain",
	},
}
