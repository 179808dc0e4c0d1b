package circuit

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// spare is the share of a cable's wires to keep. Common practice, no source.
const spare = 0.1

// cables finds cables with too few wires, or few to spare, and wires that look
// alike. Those that have few to spare are one finding.
func (k *checker) cables() {
	used, short := k.used(), map[int]bool{}
	for _, run := range k.runs() {
		if cable := k.relay.Cables[run.cable]; cable.Wires > 0 && max(run.wires, run.last) > cable.Wires {
			short[run.cable] = true
			k.add(CableShort, finding.Error, run.at, "take a second cable, or a larger one", "this run needs more wires than the %d of %s", cable.Wires, cable.ID)
		}
	}
	var few []string
	var first finding.Place
	for i, cable := range k.relay.Cables {
		left := cable.Wires - used[i]
		switch {
		case used[i] == 0:
			continue
		case cable.Wires == 0:
		case left < 0 && !short[i]:
			k.add(CableShort, finding.Error, cable.At, "take a second cable, or a larger one", "what runs in %s needs %d wires, and it has %d", cable.ID, used[i], cable.Wires)
		case left >= 0 && float64(left) < spare*float64(cable.Wires):
			if few = append(few, fmt.Sprintf("%s %d of %d", cable.ID, left, cable.Wires)); len(few) == 1 {
				first = cable.At
			}
		}
		switch {
		case cable.Code == wiring.Pairs25 && k.c.Cables[i].Banded == "ring-only":
			k.add(TipsAlike, finding.Warning, cable.At, "tag the first wires before untwisting, or take cable banded on both",
				"the first wires of the five pairs of each group of %s look alike once they are untwisted", cable.ID)
		case cable.Code == wiring.DIN47100Repeats && max(cable.Wires, used[i]) > repeats:
			k.add(TipsAlike, finding.Warning, cable.At, "keep the layers of the cable apart, or ring each wire out",
				"the colours of %s begin again at wire %d: wires %d and up look like 1 and up", cable.ID, repeats+1, repeats+1)
		}
	}
	if few != nil {
		k.add(SparesFew, finding.Note, first, "", "less than a tenth of the wires to spare: %s", strings.Join(few, ", "))
	}
}

// repeats is the last wire of DIN 47100 before its colours begin again.
const repeats = 44

// run is a row of the wiring, or a join, that takes wires of a cable.
type run struct {
	cable, wires, last int // how many, and the highest number given
	spare              bool
	at                 finding.Place
}

func (k *checker) runs() []run {
	var runs []run
	add := func(name string, wires []int, pins int, spare bool, at finding.Place) {
		cable := slices.IndexFunc(k.relay.Cables, func(c wiring.Cable) bool { return c.ID == name })
		if cable >= 0 {
			runs = append(runs, run{cable, max(pins, len(wires)), slices.Max(append([]int{0}, wires...)), spare, at})
		}
	}
	for _, row := range k.relay.Soldered() {
		add(row.Cable, row.Wires, len(row.Pins), row.Kind == wiring.SpareKind, row.At)
	}
	for _, j := range k.relay.Joins {
		add(j.Cable, j.Wires, len(j.From), false, j.At)
	}
	return runs
}

// used is how many wires of each cable are in use.
func (k *checker) used() []int {
	used := make([]int, len(k.relay.Cables))
	for _, run := range k.runs() {
		if !run.spare {
			used[run.cable] += run.wires
		}
	}
	return used
}
