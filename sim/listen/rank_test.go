package listen

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// handful is how many slips of a hand a mistake is, as the help of listen ranks them:
// one or two pins of the wiring, a row of the table, and all that is more. Common
// practice, no source.
func handful(f fault.Fault) int {
	oneOrTwo := slices.Contains([]string{"pin-open", "pins-swapped", "pins-bridged", "key-stuck", "stop-stuck", "output-stuck"}, f.Class) ||
		f.Class == "group-open" && len(f.Pins) == 2
	switch {
	case oneOrTwo && f.In != fault.Switching:
		return 1
	case oneOrTwo || f.In == fault.Switching && len(f.Pins) == 0:
		return 2
	}
	return 3
}

// ranked are the causes of what was heard by name, each with the weight of all ways in
// which it is made, the heaviest first.
func ranked(q *Inquiry) (list []Cause) {
	for _, c := range q.Causes {
		at := slices.IndexFunc(list, func(known Cause) bool {
			return known.Fault.Class == c.Fault.Class && known.Fault.Where == c.Fault.Where
		})
		if at < 0 {
			list = append(list, c)
		} else {
			list[at].Weight += c.Weight
		}
	}
	slices.SortStableFunc(list, func(a, b Cause) int {
		switch {
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return 0
	})
	return list
}

// What was done does not stand behind what takes more slips of a hand, where an ear
// heard exactly one key: then all causes explain as much.
func TestNoLessSimpleMistakeStandsBeforeWhatWasDone(t *testing.T) {
	planted := 0
	try := func(in *console.Instrument, relay *wiring.Relay, seed uint64) {
		l := New(in, relay)
		plan := l.Plan(2)
		for _, made := range l.anyOfEach(seed) {
			e := ear{in, made.Relay}
			first, heard := plan.firstWrong(e)
			if !heard {
				continue
			}
			symptom := Symptom{Heard: e.hears(first), cases: []setting{{draw: first.Draw, tries: []Try{first}}}}
			if symptom.unasked = symptom.Heard.Verdict == Ciphers; symptom.unasked {
				symptom.cases[0].tries = nil
			}
			planted++
			for _, c := range ranked(l.Explain([]Symptom{symptom})) {
				if c.Fault.Class == made.Class && c.Fault.Where == made.Where {
					break
				}
				require.LessOrEqual(t, handful(c.Fault), handful(made), "%s: %s before %s: %s", c.Fault.Class, c.Fault.Where, made.Class, made.Where)
			}
		}
	}
	for seed := range uint64(6) {
		in := gen.Instrument(seed, gen.Tiny)
		try(in, gen.Design(seed, in, gen.AnyOptions(seed)), seed)
	}
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	relay, _ := wiring.Load("../../cmd/trundle/examples/smallest/relay.yaml", in)
	for seed := range uint64(4) {
		try(in, relay, seed)
	}
	require.Greater(t, planted, 100)
}

// Two stops side by side, one of them dead: a run of two that is shifted, whichever
// way, is one mistake, and takes more than an open contact.
func TestAnOpenContactStandsBeforeAShiftedRunOfTwo(t *testing.T) {
	in, _ := console.Load("../../cmd/trundle/examples/smallest/organ.yaml")
	relay, _ := wiring.Load("../../cmd/trundle/examples/smallest/relay.yaml", in)
	l := New(in, relay)
	symptoms, err := l.Read("flute-8 dead")
	require.NoError(t, err)
	list := ranked(l.Explain(symptoms))
	require.Equal(t, "pin-open", list[0].Fault.Class)
	require.Equal(t, "S1.1 open", list[0].Fault.Where)
	weight := func(class string) float64 {
		at := slices.IndexFunc(list, func(c Cause) bool { return c.Fault.Class == class })
		require.GreaterOrEqual(t, at, 0, class)
		return list[at].Weight
	}
	require.Equal(t, 0.25, weight("run-shifted")/weight("pin-open")) // as the help says
}
