package circuit

import (
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// magnets finds coils on beyond their duty, and diodes that are missing or the
// wrong way round. A diode across a coil blocks while the coil is on: its
// cathode is at the positive end, which is the pin of a board that switches the
// positive side, and the return of one that switches the negative.
func (k *checker) magnets() {
	said := map[int]bool{}
	for _, l := range k.c.Loads {
		m, board := k.c.Magnets[l.Magnet], k.c.Boards[l.Board]
		if said[l.Magnet] {
			continue
		}
		right := "pin"
		if board.Switches == Negative {
			right = "return"
		}
		if m.Diode != "none" && m.Cathode != "" && m.Cathode != right {
			said[l.Magnet] = true
			k.add(DiodeReversed, finding.Error, m.At, "turn the diodes round: the cathode belongs to the "+right,
				"the diodes of %s conduct when %s switches its %s side: a dead short", m.ID, k.relay.Boards[l.Board].ID, board.Switches)
		}
	}
	for i, m := range k.c.Magnets {
		if m.Diode == "none" {
			k.add(DiodeMissing, finding.Error, m.At, "put a diode across each coil, or at the board",
				"nothing takes up the kick of %s: coils cut off without a diode raise hundreds of volts", m.ID)
		}
		held := slices.ContainsFunc(k.c.Loads, func(l Load) bool { return l.Magnet == i && !k.c.pulsed(l) })
		if m.Duty < 1 && held {
			k.add(DutyOver, finding.Error, m.At, "give the class a pulse, or take coils for continuous duty",
				"%s may be on for %g%% of the time, and is on as long as it is played or drawn", m.ID, 100*m.Duty)
		}
	}
}

func (k *checker) returns() {
	mixed, without := map[int]bool{}, map[finding.Place]bool{}
	first := map[int]Side{}
	for _, l := range k.c.Loads {
		side := k.c.Boards[l.Board].Switches.Other()
		if l.Return == None {
			if len(k.c.Returns) > 0 && !without[l.At] {
				without[l.At] = true
				k.add(NoReturn, finding.Warning, l.At, "name it in a return, by of or kinds", "%s has no return; it is reckoned to go straight home", k.s.name(l))
			}
			continue
		}
		for r := l.Return; r != None; r = k.c.Returns[r].Into {
			back := k.c.Returns[r]
			if first[r] == "" {
				if first[r] = back.Side; back.Side == "" {
					first[r] = side
				}
			}
			if first[r] != side && !mixed[r] {
				mixed[r] = true
				k.add(ReturnMixed, finding.Error, back.At, "give each polarity its own return",
					"the return %s is %s, and %s on it needs a %s one", back.ID, first[r], k.s.name(l), side)
			}
		}
	}
	for i, back := range k.c.Returns {
		if back.Fuse > 0 {
			k.add(ReturnFused, finding.Warning, back.At, "take the fuse out, and fuse the feeds",
				"the return %s has a fuse; when it blows, its magnets find each other", back.ID)
		}
		if back.Logic && slices.ContainsFunc(k.c.Loads, func(l Load) bool { return k.c.under(l.Return, i) }) {
			k.add(ReturnShared, finding.Warning, back.At, "give the electronics a return of their own up to the supply",
				"the return %s carries magnets and electronics: what magnets lose on it the electronics see", back.ID)
		}
	}
}

func (k *checker) supplies() {
	for i, board := range k.c.Boards {
		for _, s := range board.Supplies {
			if supply := k.c.Supplies[s]; len(board.Supplies) > 1 && !supply.Shares {
				k.add(Paralleled, finding.Error, board.At, "feed the board by one, or take supplies that are made to share the load",
					"%s is fed by several supplies, and %s is not made to share", k.relay.Boards[i].ID, supply.ID)
			}
		}
	}
}

// spare is the share of a cable's wires to keep. Common practice, no source.
const spare = 0.1

func (k *checker) cables() {
	used := make([]int, len(k.relay.Cables))
	index := map[string]int{}
	for i, cable := range k.relay.Cables {
		index[cable.ID] = i
	}
	count := func(name string, wires []int, pins int, kind wiring.Kind, at finding.Place) {
		i, known := index[name]
		if !known {
			return
		}
		if kind != wiring.SpareKind {
			used[i] += max(pins, len(wires))
		}
		has := k.relay.Cables[i].Wires
		if has == 0 {
			return
		}
		if pins > has || len(wires) > 0 && slices.Max(wires) > has {
			k.add(CableShort, finding.Error, at, "take a second cable, or a larger one", "this run needs more wires than the %d of %s", has, name)
		}
	}
	for _, row := range k.relay.Soldered() {
		count(row.Cable, row.Wires, len(row.Pins), row.Kind, row.At)
	}
	for _, j := range k.relay.Joins {
		count(j.Cable, j.Wires, len(j.From), "", j.At)
	}
	for i, cable := range k.relay.Cables {
		if cable.Wires == 0 || used[i] == 0 {
			continue
		}
		if left := cable.Wires - used[i]; left >= 0 && float64(left) < spare*float64(cable.Wires) {
			k.add(SparesFew, finding.Note, cable.At, "", "%s has %d of %d wires to spare, less than a tenth", cable.ID, left, cable.Wires)
		}
		if k.c.Cables[i].Banded == "ring-only" && cable.Code == wiring.Pairs25 {
			k.add(TipsAlike, finding.Warning, cable.At, "tag the first wires before untwisting, or take cable banded on both",
				"the first wires of the five pairs of each group of %s look alike once they are untwisted", cable.ID)
		}
	}
}

// unchecked says once what is missing for a full check.
func (k *checker) unchecked() {
	var lacks []string
	note := func(missing bool, what string) {
		if missing {
			lacks = append(lacks, what)
		}
	}
	driven := map[wiring.Terminal]bool{}
	var noSupply, noFuse, noAmps, noPin, noWire, noReturn, noPull, noDiode bool
	for _, l := range k.c.Loads {
		driven[l.Pin] = true
		board, m := k.c.Boards[l.Board], k.c.Magnets[l.Magnet]
		noSupply = noSupply || len(k.c.suppliesOf(l.Board)) == 0
		noFuse = noFuse || board.Fuse == None
		noAmps = noAmps || board.Amps == 0
		noPin = noPin || board.PinAmps == 0
		noWire = noWire || len(l.Legs) == 0 || slices.ContainsFunc(l.Legs, func(leg Leg) bool { return !k.c.Cables[leg.Cable].Known() })
		noReturn = noReturn || l.Return == None || !k.c.Returns[l.Return].Known()
		noPull = noPull || m.PullIn == 0
		noDiode = noDiode || m.Diode == "" || m.Diode != "none" && m.Cathode == ""
	}
	outputs := 0
	for _, row := range k.relay.Soldered() {
		if slices.Contains(magnetKinds, string(row.Kind)) {
			for _, pin := range row.Pins {
				if pin.On < len(k.relay.Boards) && k.relay.Boards[pin.On].Direction == wiring.Output && !driven[pin] {
					outputs++
				}
			}
		}
	}
	note(outputs > 0, "the ohms of some magnets")
	note(noSupply, "the supply of some boards")
	note(noFuse, "some fuses")
	note(noAmps, "amps of some boards")
	note(noPin, "amps-per-pin of some boards")
	note(noWire, "gauge and length of some wires")
	note(noReturn, "gauge and length of some returns")
	note(noPull, "pull-in of some magnets")
	note(noDiode, "diode and cathode of some magnets")
	if lacks != nil {
		k.add(Unchecked, finding.Note, finding.Place{File: k.relay.File}, "", "not checked, for want of data: %s", strings.Join(lacks, ", "))
	}
}
