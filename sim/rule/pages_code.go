package rule

var codePages = []Page{
	{
		ID:    "touch-voltage",
		Title: "More than extra-low voltage",
		Text: "With `electrical: {code: iec}`: extra-low voltage ends at 120 V DC free of ripple, 60 V DC is the most that " +
			"may be touched where it is dry, and 30 V elsewhere (a note). A supply whose `ripple`, rms, is more than a " +
			"tenth of its volts, like a bare rectifier, keeps to the limits of AC: 50, 25 and 12 V. One without safe " +
			"separation from the mains (`separation: felv`) must not be touched at all.",
		File:     "relay.yaml",
		Faulty:   "supplies: {main: {volts: 70}}",
		Repaired: "supplies: {main: {volts: 24}}",
		Ignored:  "Somebody is hurt.",
		Source:   "IEC 61140 and IEC 60364-4-41; the 60 V from secondary sources, the 30 V (414.4.5) from memory",
	},
	{
		ID:    "code-650-4",
		Title: "NEC 650.4: the supply",
		Text: "With `electrical: {code: us}`: the source is a listed direct-current supply of 30 V or less, without load " +
			"too. `edition` is 2017, 2020 or 2023; when `listed` came in is not known, so in 2017 it is a warning.",
		File:     "relay.yaml",
		Faulty:   "supplies: {main: {volts: 36}}",
		Repaired: "supplies: {main: {volts: 24}}",
		Ignored:  "The installation is not approved.",
		Source:   "NFPA 70 (NEC) article 650.4, as summaries of the 2020 edition have it",
	},
	{
		ID:       "code-650-5",
		Title:    "NEC 650.5: grounding of the supply",
		Text:     "With `electrical: {code: us}`: the supply is double-insulated, or its metal case is bonded to the equipment grounding conductor.",
		File:     "relay.yaml",
		Faulty:   "supplies: {main: {volts: 12, grounding: none}}",
		Repaired: "supplies: {main: {volts: 12, grounding: bonded}}",
		Ignored:  "The installation is not approved.",
		Source:   "NFPA 70 (NEC) article 650.5, as summaries of the 2020 edition have it",
	},
	{
		ID:    "code-650-6",
		Title: "NEC 650.6: conductors",
		Text: "With `electrical: {code: us}`: (A) signals run in 28 AWG or thicker, magnets are fed by 26 AWG or thicker, and " +
			"the main common return is 14 AWG or thicker; (B) the insulation is thermoplastic or thermosetting; (C) what " +
			"runs from place to place runs in a cable; (D) a cable has a covering, and something keeps flame from " +
			"spreading along it. Of (C) and of the covering only memory tells, and they are warnings.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 60, code: 25-pair, gauge: 28, length: 3 m}",
		Repaired: "  CX2: {wires: 60, code: 25-pair, gauge: 26, length: 3 m}",
		Ignored:  "The installation is not approved.",
		Source:   "NFPA 70 (NEC) article 650.6, a reprint of the 2020 text; 14 AWG, insulation and flame from summaries, the rest from memory",
	},
	{
		ID:    "code-650-7",
		Title: "NEC 650.7: how cables are installed",
		Text: "With `electrical: {code: us}`: cables are fastened, and one that leads nowhere is tagged. A cable of which no " +
			"row uses a wire leads nowhere; `tag` says what stands on it.",
		File:     "relay.yaml",
		Faulty:   "  OLD: {wires: 25}",
		Repaired: "  OLD: {wires: 25, tag: to the old console}",
		Ignored:  "The installation is not approved, and nobody dares to cut the cable.",
		Source:   "NFPA 70 (NEC) article 650.7, as summaries of the 2020 edition have it",
	},
	{
		ID:    "code-650-8",
		Title: "NEC 650.8: fuses of fine wire",
		Text: "With `electrical: {code: us}`: 26 and 28 AWG are protected at 6 A or less, other sizes by what they may carry. " +
			"For 20 to 24 AWG nothing says what that is, but 18 AWG may carry 7 A, and they no more. A common return needs no fuse.",
		File:     "relay.yaml",
		Faulty:   "  X2: {kind: output, pins: 49, fuse: 10}",
		Repaired: "  X2: {kind: output, pins: 49, fuse: 6}",
		Ignored:  "A short burns the cable before its fuse.",
		Source:   "NFPA 70 (NEC) article 650.8, as a code quiz quotes it; 725.43 and 240.4(D) for 18 AWG and thicker",
	},
	{
		ID:    "code-650-9",
		Title: "NEC 650.9: out of reach",
		Text: "With `electrical: {code: us}`: the wiring of what sounds is inside an enclosure that can be locked, of which " +
			"pipes may be a part. `places` says which boards and strips stand where, and what is enclosed.",
		File:     "relay.yaml",
		Faulty:   "places: {loft: {of: [X1, X2, X3], enclosed: false}}",
		Repaired: "places: {loft: {of: [X1, X2, X3], enclosed: true}}",
		Ignored:  "Somebody touches what is live, or moves it.",
		Source:   "NFPA 70 (NEC) article 650.9, from memory",
	},
}
