package circuit

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/sim/gen"
)

// By hand, on 61 magnets of 150 ohms at 12 V, of which ten fingers hold 0.8 A,
// on a cable of 75 wires and a return of 60 feet. 1 A is a rating of NEC
// 240.6(A), 0.8 A one of R10; 26 and 14 AWG are the least of NEC 650.6(A).
func TestSizesOfASmallRelay(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*parts)
		want   []string
	}{
		"the code binds": {func(*parts) {}, []string{
			"fuse X1 1 A ", "supply main 1 A ", "cable CX1 26 AWG code-650-6", "return chamber 14 AWG code-650-6"}},
		"nothing is said but lengths": {func(p *parts) {
			p.board = strings.Replace(p.board, "fuse: 6, ", "", 1)
			p.cable, p.returns = "wires: 75, length: 60 ft", "of: [flute], length: 60 ft, side: positive"
			p.supply = "volts: 12, listed: true, grounding: bonded"
		}, []string{"fuse X1 1 A ", "supply main 1 A ", "cable CX1 26 AWG code-650-6", "return chamber 14 AWG code-650-6"}},
		// 1.2 V may be lost. 28 AWG take 0.08 A x 3.89 ohms = 0.31 V, which leaves
		// 0.89 V / 0.8 A = 1.11 ohms: 22 AWG have 0.97, 24 AWG 1.54.
		"no code, and a tenth of the volts is plenty": {func(p *parts) { p.electrical = "code: none" }, []string{
			"fuse X1 0.8 A fuse-over", "supply main 1 A ", "cable CX1 28 AWG ", "return chamber 22 AWG drop-over"}},
		// 0.24 V may be lost. 26 AWG take 0.196 V and leave 0.055 ohms: 8 AWG have
		// 0.038, 10 AWG 0.060; that is 1.57 + 1.36 kg. 24 AWG take 0.123 V and
		// leave 0.146 ohms, for which 12 AWG are needed: 2.50 + 0.54 kg.
		"a fiftieth of the volts asks for more": {func(p *parts) { p.electrical = "code: us, drop: 0.02" }, []string{
			"fuse X1 1 A ", "supply main 1 A ", "cable CX1 26 AWG code-650-6", "return chamber 8 AWG drop-over"}},
		// 1.2 V less 0.196 V is 1.25 ohms over 305 m: 12 AWG have 1.59, 10 AWG 1.00.
		"a return of 1000 feet": {func(p *parts) { p.returns = "of: [flute], gauge: 14, length: 1000 ft, side: positive" }, []string{
			"fuse X1 1 A ", "supply main 1 A ", "cable CX1 26 AWG code-650-6", "return chamber 10 AWG drop-over"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := right()
			c.change(&p)
			r, in := p.load(t)
			s := reporter(t, r, in)
			sizes := s.Sizes(s.Report())
			got := []string{}
			for _, part := range sizes.Parts {
				got = append(got, fmt.Sprintf("%s %s %s %s", part.Kind, part.ID, part.Size, part.Rule))
			}
			require.Equal(t, c.want, got)
			require.Empty(t, sizes.Left)
		})
	}
}

// sizedRules are those of the findings that sizes answer to.
func sizedRules(found []finding.Finding) []finding.Finding {
	rules := []string{FuseOver, SupplyOver, WireOver, ReturnOver, PullInLow, DropOver, Code6506, Code6508}
	return slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool {
		return f.Severity == finding.Note || !slices.Contains(rules, f.Rule)
	})
}

// widelyWired is a generated relay with everything that has a size.
func widelyWired(t *testing.T, seed uint64, code string) *Reporter {
	const sections = `
supplies:
  a: {volts: {idle: 15, full: 13}, amps: 60}
magnets:
  valves: {kinds: [valve], ohms: 300, pull-in: 8, diode: board, cathode: pin}
  notes: {kinds: [note], ohms: 300, count: 2, pull-in: 9, diode: board, cathode: pin}
  actions: {kinds: [action, ventil, tremulant], ohms: 60, diode: board, cathode: pin}
  knobs: {kinds: [knob-on, knob-off, action-on, action-off], ohms: 40, pulse: 200 ms, pull-in: 9, diode: board, cathode: pin}
returns:
  valves: {kinds: [valve], gauge: 14, length: 60 ft, into: trunk}
  notes: {kinds: [note], gauge: 12, length: 30 ft, into: trunk}
  trunk: {gauge: 10, length: 10 ft}
  knobs: {kinds: [knob-on, knob-off, action-on, action-off], gauge: 14, length: 20 ft}
`
	c, r, in := generated(t, seed, gen.Small, gen.Options{Strips: seed%2 == 0, Cables: true, Coils: true}, sections)
	c.Settings.Code, c.Settings.Group, c.Settings.Gap = code, 4, 100
	for i := range c.Boards {
		c.Fuses = append(c.Fuses, Fuse{ID: r.Boards[i].ID, Amps: 6})
		c.Boards[i].Fuse = i
		c.Boards[i].Feed = Wire{Gauge: AWG(14), Metres: 2 + float64(i), Count: 1}
	}
	for i := range c.Cables {
		c.Cables[i].Gauge, c.Cables[i].Metres = AWG(24), 10+2*float64(i)
	}
	return NewReporter(c, r, in, OnePlayer)
}

// What is chosen, fed back, passes every finding that answers to a size; and
// one size smaller of any part does not.
func TestSizesPassAndOneSizeSmallerDoesNot(t *testing.T) {
	smaller := map[string]int{}
	volts := map[string]bool{PullInLow: true, DropOver: true} // of two on one way one is said
	for seed := range uint64(3) {
		for _, code := range []string{"us", "iec", "none"} {
			s := widelyWired(t, seed, code)
			rep := s.Report()
			sizes := s.Sizes(rep)
			fed := NewReporter(sizes.Circuit, s.relay, s.in, OnePlayer)
			require.Empty(t, messages(sizedRules(fed.Findings(fed.Report()))), "seed %d, %s", seed, code)
			for _, part := range sizes.Parts {
				c := sizes.Circuit.clone()
				if !c.shrink(part.Part) {
					require.Empty(t, part.Rule, "%v", part)
					continue
				}
				smaller[part.Kind]++
				less := s.with(c)
				found := sizedRules(less.Findings(less.again(sizes.Report.byPart())))
				require.NotEmpty(t, found, "seed %d, %s: %v", seed, code, part)
				if !volts[part.Rule] || !slices.ContainsFunc(found, func(f finding.Finding) bool { return volts[f.Rule] }) {
					require.Contains(t, fmt.Sprint(rules(found)), part.Rule, "seed %d, %s: %v", seed, code, part)
				}
			}
		}
	}
	for _, kind := range []string{"fuse", "supply", "feed", "cable", "return"} {
		require.Greater(t, smaller[kind], 5, kind)
	}
}

// shrink takes a part one size down, if there is one.
func (c *Circuit) shrink(p Part) bool {
	switch p.Kind {
	case "fuse":
		list := fuseRatings(c.Settings.Code)
		at := slices.Index(list, c.Fuses[p.Index].Amps)
		if at > 0 {
			c.Fuses[p.Index].Amps = list[at-1]
		}
		return at > 0
	case "supply":
		c.Supplies[p.Index].Amps--
		return c.Supplies[p.Index].Amps > 0
	}
	w := c.wire(p)
	list := gauges(c.Settings.Code, p.Kind == "cable")
	at := slices.IndexFunc(list, func(g Gauge) bool { return g.Area == w.Gauge.Area })
	if at > 0 {
		w.Gauge = list[at-1]
	}
	return at > 0
}

// No choice of sizes has less copper: all are tried.
func TestNoOtherSizesHaveLessCopper(t *testing.T) {
	list := gauges("us", true)
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 4))
		f := &fit{}
		n := 3 + r.IntN(3)
		for range n {
			w := Wire{Metres: 1 + 20*r.Float64(), Count: 1}
			ways := float64(1 + r.IntN(60))
			var kilos, ohms []float64
			for _, g := range list {
				w.Gauge = g
				kilos, ohms = append(kilos, ways*w.kilograms()), append(ohms, w.Ohms(20))
			}
			f.kilos, f.ohms, f.least, f.of = append(f.kilos, kilos), append(f.ohms, ohms), append(f.least, r.IntN(3)), append(f.of, nil)
		}
		for i := range 1 + r.IntN(4) {
			r := row{budget: 0.2 + 1.5*r.Float64(), parts: r.Perm(n)[:2+r.IntN(n-1)]}
			thick := 0.0
			for _, p := range r.parts {
				r.amps = append(r.amps, 0.05+3*float64(p)/float64(n))
				thick += r.amps[len(r.amps)-1] * f.ohms[p][len(list)-1]
				f.of[p] = append(f.of[p], i)
			}
			r.budget = max(r.budget, thick)
			f.rows = append(f.rows, r)
		}
		sizes, bound := f.sizes()
		least := f.tryAll()
		require.InEpsilon(t, least, f.copper(sizes), slack, "seed %d", seed)
		require.InEpsilon(t, least, bound, slack, "seed %d", seed)
	}
}

// tryAll is the least copper of all sizes that keep every row.
func (f *fit) tryAll() float64 {
	at, least := slices.Clone(f.least), 1e300
	for {
		fits := true
		for _, r := range f.rows {
			fits = fits && f.lost(r, at) <= r.budget
		}
		if fits {
			least = min(least, f.copper(at))
		}
		p := 0
		for ; p < len(at); p++ {
			if at[p]++; at[p] < len(f.kilos[p]) {
				break
			}
			at[p] = f.least[p]
		}
		if p == len(at) {
			return least
		}
	}
}

func messages(found []finding.Finding) []string {
	list := []string{}
	for _, f := range found {
		list = append(list, f.Rule+": "+f.Message)
	}
	return list
}

// Ten magnets of 0.9 ohms at 12 V draw 133 A: more than the 100 A of the largest
// fuse and the 125 A of 0 AWG.
func TestWhatNoSizeMendsIsSaid(t *testing.T) {
	p := right()
	p.magnets = strings.Replace(p.magnets, "150", "0.9", 1)
	r, in := p.load(t)
	s := reporter(t, r, in)
	sizes := s.Sizes(s.Report())
	for _, part := range sizes.Parts {
		switch part.Kind {
		case "supply":
			require.Equal(t, "134 A", part.Size)
		case "cable": // 13.3 A go through a wire
			require.Equal(t, "14 AWG", part.Size)
		default:
			require.Empty(t, part.Size, "%v", part)
			require.Regexp(t, "no rating up to 100 A|there is no thicker wire", part.Binds)
		}
	}
	require.NotEmpty(t, sizes.Left)
}
