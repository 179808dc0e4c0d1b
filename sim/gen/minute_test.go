package gen

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// Of what the definition of what sounds allows, Instrument never makes these;
// a minute instrument may have any of them.
func TestMinuteInstrumentsHaveWhatOthersLack(t *testing.T) {
	lacking := map[string]func(in *console.Instrument) bool{
		"keyboards that begin apart": func(in *console.Instrument) bool { return in.Keyboards[0].Keys.From != in.Keyboards[1].Keys.From },
		"a transfer between unequal keyboards": func(in *console.Instrument) bool {
			return len(in.Transfers) > 0 && in.Keyboards[0].Keys != in.Keyboards[1].Keys
		},
		"two transfers":                      func(in *console.Instrument) bool { return len(in.Transfers) > 1 },
		"two divides":                        func(in *console.Instrument) bool { return len(in.Divides) > 1 },
		"a divide of a manual":               func(in *console.Instrument) bool { return len(in.Divides) > 0 && in.Divides[0].Keyboard == 0 },
		"an own coupler of some keys":        coupler(func(in *console.Instrument, c console.Coupler) bool { return !foreign(c) && c.Keys != console.AllNotes }),
		"an own coupler on the second touch": coupler(func(in *console.Instrument, c console.Coupler) bool { return !foreign(c) && c.Touch == 2 }),
		"carries all of some keys": coupler(func(in *console.Instrument, c console.Coupler) bool {
			return c.Carries == console.CarriesAll && c.Keys != console.AllNotes
		}),
		"carries all on the second touch": coupler(func(in *console.Instrument, c console.Coupler) bool {
			return c.Carries == console.CarriesAll && c.Touch == 2
		}),
		"a picked key for a floating division": coupler(func(in *console.Instrument, c console.Coupler) bool {
			return c.Picks != console.PicksAll && in.Divisions[c.Division].Keyboard == console.None
		}),
		"a unison off of a floating division": func(in *console.Instrument) bool {
			return len(in.UnisonOffs) > 0 && in.Divisions[in.UnisonOffs[0].Division].Keyboard == console.None
		},
	}
	found := map[string]int{}
	for seed := range uint64(100) { // as many as tests try in every state
		in := Minute(seed)
		require.Len(t, in.Controls, minuteControls)
		for name, has := range lacking {
			if has(in) {
				found[name]++
			}
		}
	}
	for name := range lacking {
		require.NotZero(t, found[name], name)
	}
}
