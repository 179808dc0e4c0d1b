package circuit

import (
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// unchecked says once what is missing for a full check.
func (k *checker) unchecked() {
	var lacks []string
	note := func(missing bool, what string) {
		if missing {
			lacks = append(lacks, what)
		}
	}
	note(k.outputs() > 0, "the ohms of some magnets")
	k.unsaid(note)
	boards := slices.ContainsFunc(k.c.Inputs, func(i Input) bool { return k.c.Boards[i.Board].Threshold == 0 })
	note(boards, "threshold of some input boards")
	note(slices.ContainsFunc(k.c.Inputs, func(i Input) bool {
		b := k.c.Boards[i.Board]
		return b.Threshold > 0 && (b.Ohms == 0 || len(k.c.suppliesOf(i.Board)) == 0)
	}), "ohms or supply of some input boards")
	note(slices.ContainsFunc(k.c.Links, func(l Link) bool { return l.OnLoss == "" }), "on-loss of some links")
	switch k.c.Settings.Code {
	case "":
		lacks = append(lacks, "an electrical code (electrical: {code: us}, iec, or none)")
	case "us":
		k.unsaidOfCode(note)
	case "iec":
		note(slices.ContainsFunc(k.c.Supplies, func(s Supply) bool { return s.Separation == "" }), "separation of some supplies")
		note(slices.ContainsFunc(k.c.Supplies, func(s Supply) bool { return s.Ripple == 0 }), "ripple of some supplies")
	}
	if lacks != nil {
		k.add(Unchecked, finding.Note, finding.Place{File: k.relay.File}, "", "not checked, for want of data: %s", strings.Join(lacks, ", "))
	}
}

// unsaid notes what is not said of the way to each magnet.
func (k *checker) unsaid(note func(missing bool, what string)) {
	some := func(lacks func(l Load, board Board, m Magnet) bool) bool {
		return slices.ContainsFunc(k.c.Loads, func(l Load) bool { return lacks(l, k.c.Boards[l.Board], k.c.Magnets[l.Magnet]) })
	}
	note(some(func(l Load, _ Board, _ Magnet) bool { return len(k.c.suppliesOf(l.Board)) == 0 }), "the supply of some boards")
	note(some(func(_ Load, b Board, _ Magnet) bool { return b.Fuse == None }), "some fuses")
	note(some(func(_ Load, b Board, _ Magnet) bool { return b.Amps == 0 }), "amps of some boards")
	note(some(func(_ Load, b Board, _ Magnet) bool { return b.PinAmps == 0 }), "amps-per-pin of some boards")
	note(some(func(l Load, _ Board, _ Magnet) bool {
		return len(l.Legs) == 0 || slices.ContainsFunc(l.Legs, func(leg Leg) bool { return !k.c.Cables[leg.Cable].Known() })
	}), "gauge and length of some wires")
	note(some(func(l Load, _ Board, _ Magnet) bool { return l.Return == None || !k.c.Returns[l.Return].Known() }), "gauge and length of some returns")
	note(some(func(_ Load, _ Board, m Magnet) bool { return m.PullIn == 0 }), "pull-in of some magnets")
	note(some(func(_ Load, _ Board, m Magnet) bool { return m.Diode == "" || m.Diode != "none" && m.Cathode == "" }), "diode and cathode of some magnets")
}

// unsaidOfCode notes what article 650 asks for and nothing is said of.
func (k *checker) unsaidOfCode(note func(missing bool, what string)) {
	supply := func(lacks func(s Supply) bool) bool { return slices.ContainsFunc(k.c.Supplies, lacks) }
	cable := func(lacks func(c Cable) bool) bool { return slices.ContainsFunc(k.c.Cables, lacks) }
	note(supply(func(s Supply) bool { return s.Listed == NotSaid }), "listed of some supplies")
	note(supply(func(s Supply) bool { return s.Grounding == "" }), "grounding of some supplies")
	note(cable(func(c Cable) bool { return c.Insulation == "" }), "insulation of some cables")
	note(cable(func(c Cable) bool { return c.Covering == "" }), "covering of some cables")
	note(cable(func(c Cable) bool { return c.Protection == "" }), "protection of some cables")
	note(cable(func(c Cable) bool { return c.Fastened == NotSaid }), "whether some cables are fastened")
	note(len(k.c.Places) == 0 || slices.ContainsFunc(k.c.Places, func(p Place) bool { return p.Enclosed == NotSaid }), "places and what is enclosed")
}

// outputs counts pins with something that magnets are behind and of which no
// class knows the ohms.
func (k *checker) outputs() int {
	driven := map[wiring.Terminal]bool{}
	for _, l := range k.c.Loads {
		driven[l.Pin] = true
	}
	n := 0
	for _, row := range k.relay.Soldered() {
		if !slices.Contains(magnetKinds, string(row.Kind)) {
			continue
		}
		for _, pin := range row.Pins {
			if pin.On < len(k.relay.Boards) && k.relay.Boards[pin.On].Direction == wiring.Output && !driven[pin] {
				n++
			}
		}
	}
	return n
}
