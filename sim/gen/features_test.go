package gen

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// features are what generated instruments must show over 200 seeds.
var features = map[string]func(in *console.Instrument) bool{
	"foreign coupler at 16": coupler(func(in *console.Instrument, c console.Coupler) bool { return foreign(c) && c.Shift < 0 }),
	"foreign coupler at 8":  coupler(func(in *console.Instrument, c console.Coupler) bool { return foreign(c) && c.Shift == 0 }),
	"foreign coupler at 4":  coupler(func(in *console.Instrument, c console.Coupler) bool { return foreign(c) && c.Shift > 0 }),
	"own octave coupler":    coupler(func(in *console.Instrument, c console.Coupler) bool { return !foreign(c) && c.Shift > 0 }),
	"own sub coupler":       coupler(func(in *console.Instrument, c console.Coupler) bool { return !foreign(c) && c.Shift < 0 }),
	"carries none":          coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Carries == console.CarriesNone }),
	"carries own":           coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Carries == console.CarriesOwn }),
	"carries all":           coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Carries == console.CarriesAll }),
	"picks lowest":          coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Picks == console.PicksLowest }),
	"picks highest":         coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Picks == console.PicksHighest }),
	"picks within keys": coupler(func(in *console.Instrument, c console.Coupler) bool {
		return c.Picks != console.PicksAll && c.Keys != console.AllNotes
	}),
	"coupler on the second touch": coupler(func(in *console.Instrument, c console.Coupler) bool { return c.Touch == 2 }),
	"coupler to a floating division": coupler(func(in *console.Instrument, c console.Coupler) bool {
		return in.Divisions[c.Division].Keyboard == console.None
	}),
	"cycle of couplers": hasCycle,

	"cuts keys": unisonOff(console.CutsKeys),
	"cuts line": unisonOff(console.CutsLine),
	"cuts all":  unisonOff(console.CutsAll),

	"slider chest": chest(func(c console.Chest) bool { return c.Kind == console.Slider }),
	"pitman chest": chest(func(c console.Chest) bool { return c.Kind == console.Pitman }),
	"unit chest":   chest(func(c console.Chest) bool { return c.Kind == console.Unit }),
	"shared chest": chest(func(c console.Chest) bool { return len(c.Plays) > 1 }),

	"two divisions on a keyboard": func(in *console.Instrument) bool {
		seen := map[int]bool{}
		for _, d := range in.Divisions {
			if d.Keyboard != console.None && seen[d.Keyboard] {
				return true
			}
			seen[d.Keyboard] = true
		}
		return false
	},

	"rank from tenor C": rank(func(in *console.Instrument, r console.Rank) bool {
		return r.Cents > 0 && r.From > in.Divisions[r.Division].Notes.From
	}),
	"compound rank that breaks": rank(func(in *console.Instrument, r console.Rank) bool { return len(r.Breaks) > 1 }),
	"percussion":                rank(func(in *console.Instrument, r console.Rank) bool { return r.Sounds != "pipes" }),
	"rank on two chests":        rank(func(in *console.Instrument, r console.Rank) bool { return len(r.Stands) > 1 }),
	"rank longer than compass": rank(func(in *console.Instrument, r console.Rank) bool {
		return r.Pipes > in.Divisions[r.Division].Notes.Len()
	}),

	"stop at another pitch": take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return t.Shift > 0 }),
	"borrowed stop": take(func(in *console.Instrument, s console.Stop, t console.Take) bool {
		return in.Ranks[t.Rank].Division != s.Division
	}),
	"take of some notes":     take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return t.Notes != console.AllNotes }),
	"stop of some notes":     take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return s.Notes != console.AllNotes }),
	"fold above":             take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return t.Above == console.Fold }),
	"fold below":             take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return t.Below == console.Fold }),
	"stop of several ranks":  take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return s.Takes[0].Rank != t.Rank }),
	"stop on the second key": take(func(in *console.Instrument, s console.Stop, t console.Take) bool { return s.Touch == 2 }),

	"ventil that admits": func(in *console.Instrument) bool { return len(in.Ventils) > 0 && len(in.Ventils[0].Admits) > 0 },
	"ventil that cuts":   func(in *console.Instrument) bool { return len(in.Ventils) > 0 && len(in.Ventils[0].Cuts) > 0 },
	"tremulant":          func(in *console.Instrument) bool { return len(in.Tremulants) > 0 },
	"transfer":           func(in *console.Instrument) bool { return len(in.Transfers) > 0 },
	"divide":             func(in *console.Instrument) bool { return len(in.Divides) > 0 },
	"transposer":         func(in *console.Instrument) bool { return in.Transposer != console.Reach{} },
	"box":                func(in *console.Instrument) bool { return len(in.Boxes) > 0 },
	"crescendo":          func(in *console.Instrument) bool { return len(in.Crescendo) > 1 },
	"tutti":              func(in *console.Instrument) bool { return len(in.Tutti.Adds) > 0 },
	"temperament":        func(in *console.Instrument) bool { return in.Pitch.Temperament != [12]float64{} },
}

func foreign(c console.Coupler) bool { return c.Keyboard != console.None }

func coupler(is func(*console.Instrument, console.Coupler) bool) func(*console.Instrument) bool {
	return func(in *console.Instrument) bool {
		for _, c := range in.Couplers {
			if is(in, c) {
				return true
			}
		}
		return false
	}
}

func unisonOff(cuts console.Cuts) func(*console.Instrument) bool {
	return func(in *console.Instrument) bool {
		for _, u := range in.UnisonOffs {
			if u.Cuts == cuts {
				return true
			}
		}
		return false
	}
}

func chest(is func(console.Chest) bool) func(*console.Instrument) bool {
	return func(in *console.Instrument) bool {
		for _, c := range in.Chests {
			if is(c) {
				return true
			}
		}
		return false
	}
}

func rank(is func(*console.Instrument, console.Rank) bool) func(*console.Instrument) bool {
	return func(in *console.Instrument) bool {
		for _, r := range in.Ranks {
			if is(in, r) {
				return true
			}
		}
		return false
	}
}

func take(is func(*console.Instrument, console.Stop, console.Take) bool) func(*console.Instrument) bool {
	return func(in *console.Instrument) bool {
		for _, s := range in.Stops {
			for _, t := range s.Takes {
				if is(in, s, t) {
					return true
				}
			}
		}
		return false
	}
}

func TestEveryFeatureOccurs(t *testing.T) {
	for name, size := range map[string]Size{"tiny": Tiny, "small": Small} {
		found := map[string]int{}
		for seed := range uint64(200) {
			in := Instrument(seed, size)
			for feature, has := range features {
				if has(in) {
					found[feature]++
				}
			}
		}
		for feature := range features {
			require.NotZero(t, found[feature], "%s: %s", name, feature)
		}
	}
}
