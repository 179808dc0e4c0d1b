package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// loses reports whether a relay with a change has lost a thing that hung somewhere,
// or has one in more places, or more on a pin, than before and than planned.
func loses(in *console.Instrument, r *wiring.Relay, cure change) bool {
	if len(cure.unhang)+len(cure.hang) == 0 {
		return false
	}
	things, pins := placesOf(in, r.Soldered())
	planned, plannedOn := placesOf(in, r.Plan)
	thingsNow, pinsNow := placesOf(in, with(r, tidied(r, []change{cure})...).Soldered())
	for thing, n := range things {
		if n > 0 && thingsNow[thing] == 0 {
			return true
		}
	}
	for thing, n := range thingsNow {
		if n > max(1, things[thing], planned[thing]) {
			return true
		}
	}
	for pin, n := range pinsNow {
		if n > max(1, pins[pin], plannedOn[pin]) {
			return true
		}
	}
	return false
}

// placesOf counts on how many pins each thing hangs that a proof looks at, and
// how many of them hang on each pin.
func placesOf(in *console.Instrument, rows []wiring.Row) (things map[wiring.Item]int, pins map[wiring.Terminal]int) {
	things, pins = map[wiring.Item]int{}, map[wiring.Terminal]int{}
	for _, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			if item := row.Items[at]; counts(in, item) {
				things[item]++
				pins[row.Pins[at]]++
			}
		}
	}
	return things, pins
}

// sound is suspects without those whose cure loses something, where all of them
// together do.
func sound(in *console.Instrument, r *wiring.Relay, all []suspect) []suspect {
	if !loses(in, r, together(all)) {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(s suspect) bool { return loses(in, r, s.cure) })
}
