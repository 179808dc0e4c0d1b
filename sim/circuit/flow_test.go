package circuit

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// What a fuse of 6 A feeds at most (NEC 650.8 and Ohm's law): 75 magnets of 150
// ohms at 12 V, and at 14 V 38 of 90 ohms or 21 of 50. One more is too many.
func TestWhatASixAmpFuseFeeds(t *testing.T) {
	draw := func(magnets int, ohms, volts float64) float64 {
		c := &Circuit{Settings: Settings{WiresAt: 20}, Supplies: []Supply{{Idle: volts, Full: volts, From: None}},
			Fuses: []Fuse{{Amps: 6}}, Boards: []Board{{Fuse: 0, Switches: Positive}}, Magnets: []Magnet{{Ohms: ohms, Hot: 20, Count: 1}}}
		on := []bool{}
		for pin := range magnets {
			c.Loads = append(c.Loads, Load{Pin: wiring.Terminal{Pin: pin + 1}, Return: None})
			on = append(on, true)
		}
		return c.Flow(on, false).Fuse[0]
	}
	for _, c := range []struct {
		magnets     int
		ohms, volts float64
	}{{75, 150, 12}, {38, 90, 14}, {21, 50, 14}} {
		require.LessOrEqual(t, draw(c.magnets, c.ohms, c.volts), 6.0, "%v", c)
		require.Greater(t, draw(c.magnets+1, c.ohms, c.volts), 6.0, "%v", c)
	}
	require.InDelta(t, 6, draw(75, 150, 12), 1e-4)
}

// What one magnet draws, in mA as printed, by Ohm's law.
func TestWhatAMagnetDraws(t *testing.T) {
	for volts, row := range map[float64]map[float64]float64{
		12: {40: 300, 60: 200, 90: 133, 150: 80, 200: 60, 300: 40},
		14: {40: 350, 60: 233, 90: 156, 150: 93, 200: 70, 300: 47},
	} {
		for ohms, want := range row {
			c := &Circuit{Supplies: []Supply{{Idle: volts, Full: volts, From: None}}, Boards: []Board{{Fuse: None, Switches: Negative}},
				Magnets: []Magnet{{Ohms: ohms, Hot: 20, Count: 1}}, Loads: []Load{{Pin: wiring.Terminal{Pin: 1}, Return: None}}}
			require.InDelta(t, want, 1000*c.Nominal(c.Loads[0]), 0.5, "%g ohms at %g V", ohms, volts)
			require.InDelta(t, want, 1000*c.Flow([]bool{true}, false).Load[0], 0.5, "%g ohms at %g V", ohms, volts)
		}
	}
}

// A supply of 5 V takes of the 12 V that feed it what power asks for, by hand:
// two loads of 50 ohms draw 0.2 A or 1 W, which at 80% are 1.25 W, or 0.125 A of
// the 10 V that the other has under load. One that only takes volts away passes
// the 0.2 A on. What it takes makes the other's volts sag for its own load.
func TestASupplyTakesOfTheOneThatFeedsIt(t *testing.T) {
	for efficiency, takes := range map[float64]float64{0.8: 0.125, 0: 0.2} {
		c := &Circuit{Settings: Settings{WiresAt: 20},
			Supplies: []Supply{{ID: "main", Idle: 12, Full: 10, Amps: 2, From: None}, {ID: "small", Idle: 5, Full: 5, From: 0, Efficiency: efficiency}},
			Boards:   []Board{{Fuse: None, Switches: Positive, Supplies: []int{1}}, {Fuse: None, Switches: Positive, Supplies: []int{0}}},
			Magnets:  []Magnet{{Ohms: 50, Hot: 20, Count: 1}}}
		for pin, board := range []int{0, 0, 1} {
			c.Loads = append(c.Loads, Load{Pin: wiring.Terminal{On: board, Pin: pin + 1}, Board: board, Return: None})
		}
		f := c.Flow([]bool{true, true, true}, false)
		require.InDelta(t, 0.2, f.Supply[1], 1e-6)
		own := (12 - takes) / (50 + 1) // 1 ohm within the supply
		require.InDelta(t, own, f.Load[2], 1e-6)
		require.InDelta(t, own+takes, f.Supply[0], 1e-6)
		// and so does the search count it: 0.1 A each, 0.24 A of its own
		s := NewReporter(c, &wiring.Relay{Boards: []wiring.Board{{ID: "X1"}, {ID: "X2"}}}, &console.Instrument{}, OnePlayer)
		require.InDelta(t, 0.24+takes, s.giving(0).Everything([]int{0, 1, 2}), 1e-9)
		require.InDelta(t, 0.2, s.giving(1).Everything([]int{0, 1}), 1e-9)
	}
}

// Magnets of 80 mA on a shared return of 14 AWG, 60 feet: 61 of them lose
// 0.74 V there, 200 lose 2.4 V, 400 lose 4.8 V (the worked figures take every
// magnet's current as it would be without the drop, so the current is held).
func TestDropsOnASharedReturn(t *testing.T) {
	for magnets, want := range map[int]float64{61: 0.74, 200: 2.4, 400: 4.8} {
		back := Wire{Gauge: AWG(14), Metres: 60 * 0.3048, Count: 1}
		c := &Circuit{Settings: Settings{WiresAt: 20}, Supplies: []Supply{{Idle: 120_012, Full: 120_012, From: None}},
			Boards:  []Board{{Fuse: None, Switches: Positive}},
			Magnets: []Magnet{{Ohms: 120_012 / 0.08, Hot: 20, Count: 1}}, // as good as a source of 80 mA
			Returns: []Return{{Wire: back, Into: None, Supply: None}}}
		on := []bool{}
		for pin := range magnets {
			c.Loads = append(c.Loads, Load{Pin: wiring.Terminal{Pin: pin + 1}})
			on = append(on, true)
		}
		f := c.Flow(on, false)
		require.InDelta(t, want, f.volts[f.net.back[0]], 0.06, "%d magnets", magnets)
		require.InDelta(t, 0.08*float64(magnets), f.Ret[0], 0.002)
	}
}

// The hops of the way add up to the volts of the supply, and the network of a
// relay is what ngspice makes of it.
func TestTheWayOfTheCurrentAddsUp(t *testing.T) {
	p := right()
	p.supply = "volts: {idle: 15, full: 13}, amps: 8"
	p.board = strings.Replace(p.board, "drop: 0", "drop: 1, feed: {gauge: 16, length: 5 m}", 1)
	p.returns = strings.Replace(p.returns, "of: [flute]", "of: [flute], into: trunk", 1) + "}, trunk: {gauge: 12, length: 3 m"
	for _, switches := range []string{"negative", "positive"} {
		p := p
		if switches == "positive" {
			p.board = strings.Replace(p.board, "negative", "positive", 1)
			p.returns = strings.Replace(p.returns, "side: positive", "side: negative", 1)
			p.magnets = strings.Replace(p.magnets, "cathode: return", "cathode: pin", 1)
		}
		r, in := p.load(t)
		s := reporter(t, r, in)
		rep := s.Report()
		sum := 0.0
		for _, h := range rep.Drop.Hops {
			require.GreaterOrEqual(t, h.Volts, -1e-9, "%v", h)
			sum += h.Volts
		}
		require.InDelta(t, 15, sum, 1e-6, switches)
		require.Len(t, rep.Drop.Hops, 7)

		n := s.c.Net(s.c.everything(), true)
		got := n.Solve()
		for i, want := range spice(t, n.Network) {
			require.InDelta(t, want, got[i], 1e-4*max(0.001, abs(want)), "%s, node %d", switches, i)
		}
	}
}

func reporter(t testing.TB, r *wiring.Relay, in *console.Instrument) *Reporter {
	c, found := Read(r, in)
	require.Empty(t, found)
	return NewReporter(c, r, in, OnePlayer)
}

// By hand: 20 coils of 0.5 A in groups of 4 every 50 ms, each on for 200 ms:
// four groups are on together, 8 A, and the last of five ends after 400 ms.
func TestAChangeInGroupsTakesLessAndLonger(t *testing.T) {
	for name, c := range map[string]struct {
		group, gap float64
		want       Change
	}{
		"all at once":           {0, 0, Change{Coils: 20, AtOnce: 10, Stepped: 10, Millis: 200}},
		"groups that overlap":   {4, 50, Change{Coils: 20, AtOnce: 10, Stepped: 8, Millis: 400}},
		"groups that do not":    {4, 200, Change{Coils: 20, AtOnce: 10, Stepped: 2, Millis: 1000}},
		"a last group of three": {17, 100, Change{Coils: 20, AtOnce: 10, Stepped: 10, Millis: 300}},
	} {
		t.Run(name, func(t *testing.T) {
			s := knobs(20, Settings{WiresAt: 20, Group: int(c.group), Gap: c.gap})
			got := s.Report().Change
			c.want.Peak = c.want.Stepped // no chord draws anything here
			require.Equal(t, []Change{c.want}, got)
		})
	}
}

// What electronics see on a return that they share with the coils of knobs: by
// hand 20 coils of 0.5 A on 50 feet of 14 AWG (2.525 ohms a thousand feet, ASTM
// B258), which lose 1.26 V.
func TestElectronicsSeeTheCoilsOfKnobsToo(t *testing.T) {
	s := knobs(20, Settings{WiresAt: 20, Code: "none"})
	s.c.Returns = []Return{{ID: "common", Wire: Wire{Gauge: AWG(14), Metres: 50 * 0.3048, Count: 1}, Into: None, Supply: None, Logic: true}}
	for i := range s.c.Loads {
		s.c.Loads[i].Return = 0
	}
	s = NewReporter(s.c, s.relay, s.in, OnePlayer)
	said := ""
	for _, f := range s.Findings(s.Report()) {
		if f.Rule == ReturnShared {
			said = f.Message
		}
	}
	require.Contains(t, said, "up to 1.26 V")
}

// Two coils that draw one knob, of a console each, draw together: by hand 1 A.
// Of a coil that cancels it none is on then.
func TestAKnobOfTwoConsolesTakesTwice(t *testing.T) {
	s := knobs(1, Settings{WiresAt: 20})
	second := s.c.Loads[0]
	second.Pin.Pin = 3
	s.c.Loads = append(s.c.Loads, second)
	rep := NewReporter(s.c, s.relay, s.in, OnePlayer).Report()
	require.Equal(t, []Change{{Coils: 1, AtOnce: 1, Stepped: 1, Peak: 1, Millis: 200}}, rep.Change)
}

// What keys strike for a moment, a chord strikes at once: ten fingers, ten
// magnets of 80 mA. No knob moves them.
func TestWhatKeysStrikeCountsInChords(t *testing.T) {
	p := right()
	p.magnets += ", pulse: 50 ms, duty: 0.1"
	r, in := p.load(t)
	rep := reporter(t, r, in).Report()
	require.InDelta(t, 0.8, rep.Lines[0].Chord.Amps, 1e-9)
	require.Empty(t, rep.Change)
	require.Empty(t, rules(Check(r, in)))
}

// knobs is a circuit of nothing but coils of 24 ohms at 12 V, an amp in two, of
// which each knob has one that draws and one that cancels.
func knobs(n int, how Settings) *Reporter {
	c := &Circuit{Settings: how, Supplies: []Supply{{ID: "main", Idle: 12, Full: 12, From: None}}, Boards: []Board{{Fuse: None, Switches: Positive}},
		Magnets: []Magnet{{Ohms: 24, Hot: 20, Count: 1}}}
	r := &wiring.Relay{Boards: []wiring.Board{{ID: "N1"}}}
	in := &console.Instrument{}
	for i := range n {
		in.Controls = append(in.Controls, console.Control{ID: strconv.Itoa(i)})
		for off, kind := range []wiring.Kind{wiring.KnobOnKind, wiring.KnobOffKind} {
			c.Loads = append(c.Loads, Load{Item: wiring.Item{Kind: kind, Index: i}, Pin: wiring.Terminal{Pin: 2*i + off + 1}, Return: None})
		}
	}
	return NewReporter(c, r, in, OnePlayer)
}

// Whole relays, with strips, doubled magnets and returns that run into each
// other, in their worst chords: every voltage is what ngspice makes of it, and
// what the loads draw is what the supplies give.
func TestRelaysInTheirWorstChordsAgreeWithNgspice(t *testing.T) {
	const sections = `
supplies:
  a: {volts: {idle: 15, full: 13}, amps: 60}
magnets:
  valves: {kinds: [valve], ohms: 150}
  notes: {kinds: [note], ohms: 90, count: 2}
  rest: {kinds: [action, shade, ventil, tremulant], ohms: 40}
returns:
  valves: {kinds: [valve], gauge: 14, length: 60 ft, wires: 2, into: trunk}
  notes: {kinds: [note], gauge: 12, length: 30 ft, into: trunk}
  trunk: {gauge: 10, length: 10 ft}
  rest: {kinds: [action, shade, ventil, tremulant], gauge: 14, length: 20 ft, joined: true}
`
	for seed := range uint64(5) {
		c, r, in := generated(t, seed, gen.Small, gen.Options{Doubled: true, Strips: true, Cables: true, Coils: true}, sections)
		for i := range c.Cables {
			c.Cables[i].Gauge, c.Cables[i].Metres = AWG(24), 18
		}
		s := NewReporter(c, r, in, OnePlayer)
		on := s.On(s.Report().Lines[0].Chord.Keys)
		f := c.Flow(on, false)
		drawn := 0.0
		for _, amps := range f.Load {
			drawn += amps
		}
		require.Greater(t, drawn, 5.0)
		require.InEpsilon(t, drawn, f.Supply[0], 1e-6, "seed %d", seed)
		n := c.Net(on, false)
		got := n.Solve()
		for i, want := range spice(t, n.Network) {
			require.InDelta(t, want, got[i], 1e-4*max(0.001, abs(want)), "seed %d, node %d", seed, i)
		}
	}
}

// A second supply helps where it is joined to the return, and only there.
func TestSuppliesShareAReturnOnlyWhereTheyAreJoined(t *testing.T) {
	for joined, want := range map[bool]float64{true: 12 / 150.0, false: 0} {
		c := &Circuit{Settings: Settings{WiresAt: 20}, Supplies: []Supply{{Idle: 12, Full: 12, From: None}, {Idle: 12, Full: 12, From: None}},
			Boards:  []Board{{Fuse: None, Switches: Positive, Supplies: []int{1}}},
			Magnets: []Magnet{{Ohms: 150, Hot: 20, Count: 1}},
			Returns: []Return{{Wire: Wire{Count: 1}, Into: None, Supply: 0, Side: Negative, Joined: joined},
				{Wire: Wire{Count: 1}, Into: None, Supply: 1, Side: Negative, Joined: joined}},
			Loads: []Load{{Pin: wiring.Terminal{Pin: 1}}}}
		require.InDelta(t, want, c.Flow([]bool{true}, false).Load[0], 1e-6)
	}
}
