package listen

import (
	"slices"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/wiring"
)

// ear hears a relay with a mistake as the definitions read: console/plain says what
// should sound, wiring.Run what the relay opens.
type ear struct {
	in    *console.Instrument
	relay *wiring.Relay
}

// sounds are the valves of a relay that are open and have wind.
func (e ear) sounds(t Try) []bool {
	open := wiring.Run(e.relay, e.in, t.State(e.in)).Open
	for _, v := range e.in.Ventils {
		ranks := v.Admits
		if slices.Contains(t.Draw, v.Control) {
			ranks = v.Cuts
		}
		for _, r := range ranks {
			clear(open[e.in.Ranks[r].First : e.in.Ranks[r].First+e.in.Ranks[r].Pipes])
		}
	}
	return open
}

func (e ear) should(t Try) []bool { return plain.Speaks(e.in, t.State(e.in)) }

func (e ear) wrong(t Try) bool { return !slices.Equal(e.sounds(t), e.should(t)) }

// hears is the verdict on a try, word by word as it is defined.
func (e ear) hears(t Try) Heard {
	none := make([]bool, e.in.Valves)
	got, want := e.sounds(t), e.should(t)
	switch {
	case !slices.Equal(e.sounds(Try{Draw: t.Draw}), none):
		return Heard{Verdict: Ciphers}
	case slices.Equal(got, want):
		return Heard{Verdict: Speaks}
	case slices.Equal(got, none):
		return Heard{Verdict: Dead}
	case len(t.Held) != 1:
		return Heard{Verdict: Wrong}
	}
	pressed := t.Held[0]
	nearest := func(v Verdict, is func(open []bool) bool) (Heard, bool) {
		for d := console.Note(0); d < 128; d++ {
			for _, n := range []console.Note{pressed.Note - d, pressed.Note + d} {
				if !e.in.Keyboards[pressed.Keyboard].Keys.Has(n) {
					continue
				}
				h := pressed
				h.Note = n
				if open := e.should(Try{t.Draw, []console.Held{h}}); !slices.Equal(open, none) && is(open) {
					return Heard{Verdict: v, Note: n}, true
				}
			}
		}
		return Heard{}, false
	}
	if h, is := nearest(Sounds, func(open []bool) bool { return slices.Equal(open, got) }); is {
		return h
	}
	if !slices.Equal(want, none) {
		if h, is := nearest(Also, func(open []bool) bool {
			both := slices.Clone(want)
			for v := range both {
				both[v] = both[v] || open[v]
			}
			return slices.Equal(both, got)
		}); is {
			return h
		}
	}
	return Heard{Verdict: Wrong}
}

// State is the state of an instrument in which a try is heard.
func (t Try) State(in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls)), Held: t.Held}
	for _, c := range t.Draw {
		s.Drawn[c] = true
	}
	return s
}
