package rule

var circuitPages = []Page{
	{
		ID:    "pin-over",
		Title: "A pin carries more than it may",
		Text: "What hangs on a pin draws more than the board's amps-per-pin, cold and at the supply's volts " +
			"without load. Magnets that share a pin add up. Pins that are over with the same class of magnets are said " +
			"once, with the boards, fuses and supplies that carry too much for it.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 15}}",
		Repaired: "magnets: {small: {kinds: [valve], ohms: 150}}",
		Ignored:  "The driver burns out.",
		Source:   "Ohm's law; the limit is the board's own",
	},
	{
		ID:    "board-over",
		Title: "A board carries more than it may",
		Text: "Some chord that one player can hold, with all stops and couplers, takes more through the board than " +
			"its amps; or none was found that does, and none could be excluded (a warning). `trundle current` names " +
			"the chord. A board, its fuse and its supply that carry the same magnets are said once.",
		File:     "relay.yaml",
		Faulty:   "  X1: {kind: output, pins: 25, amps: 0.3}",
		Repaired: "  X1: {kind: output, pins: 25, amps: 6}",
		Ignored:  "The board overheats in loud music.",
		Source:   "Kirchhoff's laws; what a player can hold is common practice, no source",
	},
	{
		ID:    "fuse-over",
		Title: "A fuse carries more than it may",
		Text: "Some chord that one player can hold takes more through the fuse than its amps. It is not all pipes " +
			"that count, but those that can be held together.",
		File:     "relay.yaml",
		Faulty:   "  X1: {kind: output, pins: 25, fuse: 0.3}",
		Repaired: "  X1: {kind: output, pins: 25, fuse: 6}",
		Ignored:  "The fuse blows in loud music.",
		Source:   "Kirchhoff's laws; what a player can hold is common practice, no source",
	},
	{
		ID:    "supply-over",
		Title: "A supply carries more than it may",
		Text: "Some chord that one player can hold, or all knobs moving together, takes more than the supply's " +
			"amps. Knobs can be moved in groups.",
		File:     "relay.yaml",
		Faulty:   "supplies: {main: {volts: 12, amps: 0.5}}",
		Repaired: "supplies: {main: {volts: 12, amps: 20}}",
		Ignored:  "The voltage sags and notes fail, or the supply shuts down.",
		Source:   "Kirchhoff's laws; what a player can hold is common practice, no source",
	},
	{
		ID:    "wire-over",
		Title: "A wire carries more than it may",
		Text: "A wire carries more than its ampacity, or its fuse would let more through. From 20 AWG down no rule " +
			"gives any, and a low figure was chosen: those are warnings.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 50, code: 25-pair, gauge: 28, length: 1 m}",
		Repaired: "  CX2: {wires: 50, code: 25-pair, gauge: 18, length: 1 m}",
		Ignored:  "The wire grows hot in its cable.",
		Source:   "NEC 240.4(D) for 10 to 14 AWG and 725.43 for 16 and 18 AWG; a conservative choice below",
	},
	{
		ID:    "return-over",
		Title: "A return carries more than it may",
		Text: "All magnets that share a return add up on it, and some chord that one player can hold exceeds what a " +
			"wire of its gauge may carry.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {kinds: [valve], gauge: 28, length: 1 m}}",
		Repaired: "returns: {common: {kinds: [valve], gauge: 14, length: 1 m}}",
		Ignored:  "The return grows hot, and all its magnets lose volts.",
		Source:   "NEC 240.4(D) for 10 to 14 AWG and 725.43 for 16 and 18 AWG; a conservative choice below",
	},
	{
		ID:    "pull-in-low",
		Title: "A magnet is left too little to pull in",
		Text: "With the worst chord held, what driver, wires, return and supply take away leaves a magnet less than " +
			"it needs. pull-in is the volts that move it cold, at 20 C; a hot coil needs more for the same current. Where only everything together does it, it " +
			"is a warning.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 150, pull-in: 12}}",
		Repaired: "magnets: {small: {kinds: [valve], ohms: 150, pull-in: 8}}",
		Ignored:  "A note speaks alone and fails in chords.",
		Source:   "Ohm's law; the growth of copper's resistance is that of IEC 60028",
	},
	{
		ID:    "drop-over",
		Title: "Much is lost in the wires",
		Text: "The wires to the weakest magnet and back lose more than a tenth of the supply's volts, or the share " +
			"that `electrical: {drop: 0.1}` allows.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {kinds: [valve], gauge: 14, length: 500 m}}",
		Repaired: "returns: {common: {kinds: [valve], gauge: 14, length: 3 m}}",
		Ignored:  "Notes grow weak in chords.",
		Source:   "common practice, no source: no published limit for organ action wiring was found",
	},
	{
		ID:       "duty-over",
		Title:    "A coil is on longer than it may be",
		Text:     "A class of magnets may be on for a part of the time only, and what it hangs on is on as long as a key is held or a stop drawn.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 150, duty: 0.1}}",
		Repaired: "magnets: {small: {kinds: [valve], ohms: 150, duty: 1}}",
		Ignored:  "The coil burns.",
		Source:   "the coil's own rating",
	},
	{
		ID:       "diode-missing",
		Title:    "Nothing takes up the kick of a coil",
		Text:     "A coil that is cut off raises its voltage until something lets its current on: a diode across it, or at the board, or else the driver.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 150, diode: none}}",
		Repaired: "magnets: {small: {kinds: [valve], ohms: 150, diode: magnet}}",
		Ignored:  "Contacts burn, drivers fail, logic is upset.",
		Source:   "the law of induction: hundreds of volts where a coil is interrupted without a diode",
	},
	{
		ID:    "diode-reversed",
		Title: "A diode conducts when its coil is on",
		Text: "The cathode of the diode across a coil belongs to the positive end: to the pin where the board switches " +
			"the positive side, to the return where it switches the negative.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 150, diode: magnet, cathode: return}}",
		Repaired: "magnets: {small: {kinds: [valve], ohms: 150, diode: magnet, cathode: pin}}",
		Ignored:  "A dead short through driver and diode at the first note.",
		Source:   "a diode conducts one way",
	},
	{
		ID:       "no-return",
		Title:    "A magnet has no return",
		Text:     "The file gives returns, and none of them is that of some magnets. It is reckoned to go straight to the supply, which flatters it.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {of: [principal, octave], gauge: 14, length: 3 m}}",
		Repaired: "returns: {common: {kinds: [valve], gauge: 14, length: 3 m}}",
		Ignored:  "What its common wire loses is not seen.",
		Source:   "current runs in a circle",
	},
	{
		ID:       "return-mixed",
		Title:    "Both polarities on one return",
		Text:     "A return is on one pole of the supply. The board of a magnet on it switches that same pole.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {kinds: [valve], side: positive}}",
		Repaired: "returns: {common: {kinds: [valve], side: negative}}",
		Ignored:  "The magnet never pulls, or its diode shorts the supply.",
		Source:   "current runs from one pole to the other",
	},
	{
		ID:       "return-fused",
		Title:    "A fuse in a return",
		Text:     "When a fuse in a common return blows, its magnets stay fed and find each other. Fuse the feeds; a common return needs no fuse.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {kinds: [valve], fuse: 6}}",
		Repaired: "returns: {common: {kinds: [valve]}}",
		Ignored:  "Idle notes sound at half current.",
		Source:   "NEC 650.8 asks for no overcurrent device in a common return",
	},
	{
		ID:       "return-shared",
		Title:    "Electronics on the return of magnets",
		Text:     "What magnets lose on a return lifts the zero of every board that goes home by it.",
		File:     "relay.yaml",
		Faulty:   "returns: {common: {kinds: [valve], logic: true}}",
		Repaired: "returns: {common: {kinds: [valve]}}",
		Ignored:  "Inputs are misread in chords.",
		Source:   "Ohm's law; common practice, no source",
	},
	{
		ID:       "supplies-paralleled",
		Title:    "Supplies in parallel that do not share",
		Text:     "Boards are fed by several supplies that are not made to share. The one of the highest volts carries all until it gives up.",
		File:     "relay.yaml",
		Faulty:   "supplies: {a: {volts: 12}, b: {volts: 12}}",
		Repaired: "supplies: {a: {volts: 12, shares: true}, b: {volts: 12, shares: true}}",
		Ignored:  "Supplies fail one after the other.",
		Source:   "Kirchhoff's laws; common practice, no source",
	},
	{
		ID:       "cable-short",
		Title:    "More wires than the cable has",
		Text:     "The runs in a cable take more wires than it has: 61 notes do not go on 50 wires. A wire whose number is beyond the last is a finding of its own.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 25, code: 25-pair}",
		Repaired: "  CX2: {wires: 60, code: 25-pair}",
		Ignored:  "The last notes have no wire.",
		Source:   "counting",
	},
	{
		ID:       "spares-few",
		Title:    "Few wires to spare",
		Text:     "Less than a tenth of a cable's wires is left for repairs. All such cables are one note.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 50, code: 25-pair}",
		Repaired: "  CX2: {wires: 60, code: 25-pair}",
		Ignored:  "A broken wire means a new cable.",
		Source:   "common practice, no source",
	},
	{
		ID:    "tips-alike",
		Title: "Wires of a cable look alike",
		Text: "In some cable only the second wire of a pair is banded: untwisted, the first wires of a group's five pairs " +
			"cannot be told apart. In others, of DIN 47100, the colours begin again at wire 45.",
		File:     "relay.yaml",
		Faulty:   "  CX2: {wires: 60, code: 25-pair, banded: ring-only}",
		Repaired: "  CX2: {wires: 60, code: 25-pair, banded: both}",
		Ignored:  "Wires of a group are exchanged.",
		Source:   "cable references of the 25-pair code and of DIN 47100",
	},
	{
		ID:    "input-low",
		Title: "An input is left too little",
		Text: "What the diode of a contact and the wires take away leaves an input less than it needs to read the " +
			"contact as closed; with a margin of less than a tenth of the supply it is a warning. The diode of a scan " +
			"counts 0.7 V unless `drop` says otherwise; `ohms` are those of the input to the other pole.",
		File:     "relay.yaml",
		Faulty:   "  K1: {kind: input, pins: 25, supply: logic, drop: 1, threshold: 2.31}",
		Repaired: "  K1: {kind: input, pins: 25, supply: logic, drop: 0.4, threshold: 2.31}",
		Ignored:  "A key is missed, first the one at the end of the longest wire.",
		Source:   "Ohm's law; the margin and 0.7 V of a silicon diode are common practice, no source",
	},
	{
		ID:    "link-holds",
		Title: "A data link whose loss leaves notes on",
		Text: "Boards are told by a data link what to do, and when it breaks they keep on what was on. They should let " +
			"go of everything when nothing comes.",
		File:     "relay.yaml",
		Faulty:   "links: {console: {to: [X1, X2], on-loss: hold}}",
		Repaired: "links: {console: {to: [X1, X2], on-loss: silence}}",
		Ignored:  "One plug pulled, and a chord sounds and coils stay hot until somebody cuts the power.",
		Source:   "common practice, no source; MIDI's active sensing lets go after 300 ms",
	},
	{
		ID:    "electrical-unchecked",
		Title: "What could not be checked",
		Text: "The relay file says something of electricity, and not all that a full check takes. What is missing is listed " +
			"once. All of it may be left out. `electrical` takes code (us, iec, none), edition, wires-at, drop, group, gap; " +
			"a supply volts (one number, or {idle: , full: }), amps, listed, grounding, separation, ripple, shares, from, efficiency; an " +
			"output board supply, fuse, amps, amps-per-pin, switches (positive, negative), drop, feed ({gauge: , length: , " +
			"wires: }); an input board supply, threshold, ohms, drop, feed, scan; a cable wires, code, colours, gauge, length, strands, " +
			"coated, banded, insulation, covering, protection, fastened, tag; a class of magnets of, kinds, ohms, hot, " +
			"pull-in, pulse, duty, count, diode, cathode; a return of, kinds, wires, gauge, length, strands, coated, side, " +
			"into, switch, supply, joined, fuse, logic; a place of, enclosed; a link to, on-loss (silence, hold). A word that is " +
			"none of those allowed is refused with the list of them.",
		File:     "relay.yaml",
		Faulty:   "magnets: {small: {kinds: [valve], ohms: 150}}",
		Repaired: "magnets: {}",
		Ignored:  "Nothing, as long as the rest is known to be right.",
		Source:   "this program's file format",
	},
}
