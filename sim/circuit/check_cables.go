package circuit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// spare is the share of a cable's wires to keep. Common practice, no source.
const spare = 0.1

// cables finds cables with too few wires, or few to spare, and wires that look
// alike. Those that have few to spare are one finding. A number beyond the
// cable's last wire is found by the rules of the wiring.
func (k *checker) cables() {
	used, last := k.used()
	var few, larger []string
	var first finding.Place
	for i, cable := range k.relay.Cables {
		left := cable.Wires - used[i]
		switch {
		case used[i] == 0:
			continue
		case cable.Wires == 0 || last[i] > cable.Wires:
		case left < 0:
			k.add(CableShort, finding.Error, k.longest(i), fmt.Sprintf("take a cable of %d wires or more, which leaves a tenth to spare; or a second one", enoughWires(used[i])), "what runs in %s needs %d wires, and it has %d", cable.ID, used[i], cable.Wires)
		case float64(left) < spare*float64(cable.Wires):
			larger = append(larger, fmt.Sprintf("%s %d", cable.ID, enoughWires(used[i])))
			if few = append(few, fmt.Sprintf("%s %d of %d", cable.ID, left, cable.Wires)); len(few) == 1 {
				first = cable.At
			}
		}
		switch {
		case cable.Code == wiring.Pairs25 && k.c.Cables[i].Banded == "ring-only":
			k.add(TipsAlike, finding.Warning, cable.At, "take cable banded on both (banded: both); or tag the first wires before untwisting, and waive this",
				"the first wires of the five pairs of each group of %s look alike once they are untwisted", cable.ID)
		case cable.Code == wiring.DIN47100Repeats && max(cable.Wires, used[i]) > repeats:
			k.add(TipsAlike, finding.Warning, cable.At, "take cable whose colours do not repeat (code: din-47100-three-colours); or keep its layers apart or ring each wire out, and waive this",
				"the colours of %s begin again at wire %d: wires %d and up look like 1 and up", cable.ID, repeats+1, repeats+1)
		}
	}
	if few != nil {
		k.add(SparesFew, finding.Note, first, "take cables of more wires: "+strings.Join(larger, ", "), "less than a tenth of the wires to spare: %s", strings.Join(few, ", "))
	}
}

// enoughWires is how many a cable has of which so many are in use and a tenth is to spare.
func enoughWires(used int) int { return int(math.Ceil(float64(used) / (1 - spare))) }

// repeats is the last wire of DIN 47100 before its colours begin again.
const repeats = 44

// run is a row of the wiring, or a join, that takes wires of a cable.
type run struct {
	cable, pins int
	wires       []int // their numbers; nil when not given
	at          finding.Place
}

func (k *checker) runs() []run {
	var runs []run
	add := func(name string, wires []int, pins int, at finding.Place) {
		if cable := slices.IndexFunc(k.relay.Cables, func(c wiring.Cable) bool { return c.ID == name }); cable >= 0 {
			runs = append(runs, run{cable, pins, wires, at})
		}
	}
	for _, row := range k.relay.Soldered() {
		if row.Kind != wiring.SpareKind {
			add(row.Cable, row.Wires, len(row.Pins), row.At)
		}
	}
	for _, j := range k.relay.Joins {
		add(j.Cable, j.Wires, len(j.From), j.At)
	}
	return runs
}

// used is how many wires of each cable are in use, those of a number once, and
// the highest number.
func (k *checker) used() (used, last []int) {
	used, last = make([]int, len(k.relay.Cables)), make([]int, len(k.relay.Cables))
	met := map[Leg]bool{}
	for _, run := range k.runs() {
		if run.wires == nil {
			used[run.cable] += run.pins
		}
		for _, wire := range run.wires {
			if leg := (Leg{run.cable, wire}); !met[leg] {
				met[leg] = true
				used[run.cable]++
			}
			last[run.cable] = max(last[run.cable], wire)
		}
	}
	return used, last
}

// longest is where the longest run in a cable stands.
func (k *checker) longest(cable int) finding.Place {
	var longest run
	for _, run := range k.runs() {
		if run.cable == cable && run.pins > longest.pins {
			longest = run
		}
	}
	return longest.at
}
