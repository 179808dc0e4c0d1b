package bench

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/wiring"
)

// A knob arrives a travel after its coil is energized, and its contact is told of when
// it changes, and only then; wires that are exchanged move the other knob.
func TestKnobsFollowTheirCoilsAsTheyAreWired(t *testing.T) {
	for name, x := range map[string]struct {
		wired func(rows []wiring.Row) []wiring.Row
		stuck []mapping.Thing
		told  []mapping.Signal
	}{
		"as planned":         {nil, nil, []mapping.Signal{said(mapping.Control, 0, 1)}},
		"a contact is stuck": {nil, []mapping.Thing{{Kind: mapping.Control, Index: 0}}, nil},
		"a coil is not wired": {func(rows []wiring.Row) []wiring.Row {
			return without(rows, wiring.Item{Kind: wiring.KnobOnKind, Index: 0, Of: console.None})
		}, nil, nil},
		"the coils that draw two are exchanged": {func(rows []wiring.Row) []wiring.Row { return exchanged(rows, wiring.KnobOnKind) }, nil, []mapping.Signal{said(mapping.Control, 1, 1)}},
		"their contacts are exchanged":          {func(rows []wiring.Row) []wiring.Row { return exchanged(rows, wiring.ControlKind) }, nil, []mapping.Signal{said(mapping.Control, 1, 1)}},
	} {
		t.Run(name, func(t *testing.T) {
			in, found := console.Parse("organ.yaml", []byte(pistons))
			require.Empty(t, found)
			m, _ := mapping.Load(in)
			relay := planned(in)
			for c := range 2 {
				for way, kind := range []wiring.Kind{wiring.KnobOffKind, wiring.KnobOnKind} {
					relay.Plan = append(relay.Plan, wiring.Row{Pins: []wiring.Terminal{{On: 1, Pin: 9000 + 2*c + way}}, Kind: kind, Items: []wiring.Item{{Kind: kind, Index: c, Of: console.None}}})
				}
			}
			if x.wired != nil {
				relay.Wired = x.wired(relay.Plan)
			}
			j := NewJambs(in, m, relay, Timing{Travel: 40 * ms, Stuck: x.stuck})
			organ := m.End(mapping.AtOrgan, "organ")
			coil := func(at time.Duration, knob, value int) {
				for _, message := range organ.Tell(nil, said(mapping.Control, knob, value)) {
					j.Hear(midiio.Timed{At: at, Message: message})
				}
			}
			told := func(at time.Duration) (list []mapping.Signal) {
				for _, message := range j.Tick(nil, at) {
					list = append(list, organ.Hear(midiio.Timed{At: at, Message: message}).Signals...)
				}
				return list
			}
			coil(0, 0, 1)
			at, due := j.Next()
			require.True(t, !due || at == 40*ms)
			require.Empty(t, told(39*ms))
			require.Equal(t, x.told, told(40*ms))
			coil(50*ms, 0, 1)
			require.Empty(t, told(100*ms), "it is where it was")
			j.Hand(false, 100*ms)
			require.Len(t, told(100*ms), len(x.told))
			_, due = j.Next()
			require.False(t, due)
		})
	}
}

func without(rows []wiring.Row, item wiring.Item) []wiring.Row {
	return slices.DeleteFunc(slices.Clone(rows), func(r wiring.Row) bool { return r.Items[0] == item })
}

// exchanged are rows with the first two of a kind exchanged.
func exchanged(rows []wiring.Row, kind wiring.Kind) []wiring.Row {
	list := append([]wiring.Row(nil), rows...)
	var of []int
	for i, row := range list {
		if row.Items[0].Kind == kind {
			of = append(of, i)
		}
	}
	a, b := of[0], of[1]
	list[a].Pins, list[b].Pins = list[b].Pins, list[a].Pins
	return list
}
