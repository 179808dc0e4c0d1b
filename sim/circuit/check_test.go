package circuit

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

const organ = `
format: 1
instrument: Saltmarsh Hall
keyboards:
  great: {kind: manual, keys: C2..C7}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
ranks:
  flute: {division: great, family: flute, feet: 8, pipes: 61}
stops:
  great-flute-8: {name: Flute, division: great, feet: 8, rank: flute}
`

// parts are those of a relay that is right: 61 magnets of 150 ohms on one board.
type parts struct{ electrical, supply, board, cable, magnets, returns, more string }

func right() parts {
	return parts{
		electrical: "code: us",
		supply:     "volts: 12, amps: 20, listed: true, grounding: bonded",
		board:      "amps-per-pin: 0.5, amps: 6, supply: main, fuse: 6, switches: negative, drop: 0",
		cable:      "wires: 75, gauge: 24, length: 60 ft",
		magnets:    "kinds: [valve], ohms: 150, pull-in: 7, diode: magnet, cathode: return",
		returns:    "of: [flute], gauge: 14, length: 60 ft, side: positive",
	}
}

func (p parts) text() string {
	return fmt.Sprintf(`format: 1
wiring: wiring.csv
boards:
  K1: {kind: input, pins: 61}
  X1: {kind: output, pins: 61, %s}
cables: {CX1: {%s}}
electrical: {%s}
supplies: {main: {%s}}
magnets: {small: {%s}}
returns: {chamber: {%s}}
%s
`, p.board, p.cable, p.electrical, p.supply, p.magnets, p.returns, p.more)
}

func (p parts) load(t testing.TB) (*wiring.Relay, *console.Instrument) {
	dir := t.TempDir()
	return load(t, dir, p.text())
}

func load(t testing.TB, dir, relay string) (*wiring.Relay, *console.Instrument) {
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	in, found := console.Load(write("organ.yaml", organ))
	require.NotNil(t, in, "%v", found)
	write("wiring.csv", "board,pins,kind,item,notes,cable,wires,group\nK1,1..61,key,great,C2..C7,,,\nX1,1..61,valve,flute,1..61,CX1,1..61,\n")
	r, found := wiring.Load(write("relay.yaml", relay), in)
	require.NotNil(t, r, "%v", found)
	return r, in
}

func rules(found []finding.Finding) []string {
	list := []string{}
	for _, f := range found {
		list = append(list, string(f.Severity)+" "+f.Rule)
	}
	return list
}

func TestFindings(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*parts)
		want   []string
	}{
		"a relay that is right":                {func(p *parts) {}, nil},
		"a pin over its limit":                 {func(p *parts) { p.magnets = strings.Replace(p.magnets, "150", "20", 1) }, []string{"error pin-over", "warning drop-over"}},
		"a board over its limit":               {func(p *parts) { p.board = strings.Replace(p.board, "amps: 6,", "amps: 0.5,", 1) }, []string{"error board-over"}},
		"a fuse over its limit":                {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: 0.7", 1) }, []string{"error fuse-over"}},
		"a supply over its limit":              {func(p *parts) { p.supply = strings.Replace(p.supply, "amps: 20", "amps: 0.6", 1) }, []string{"error supply-over"}},
		"a magnet that does not pull in":       {func(p *parts) { p.magnets = strings.Replace(p.magnets, "pull-in: 7", "pull-in: 11", 1) }, []string{"error pull-in-low"}},
		"a return too long":                    {func(p *parts) { p.returns = strings.Replace(p.returns, "60 ft", "1000 ft", 1) }, []string{"warning drop-over", "warning pull-in-low"}},
		"a coil for short pulses that is held": {func(p *parts) { p.magnets += ", duty: 0.1" }, []string{"error duty-over"}},
		"no diode": {func(p *parts) {
			p.magnets = strings.Replace(p.magnets, "diode: magnet, cathode: return", "diode: none", 1)
		}, []string{"error diode-missing"}},
		"a diode the wrong way round":          {func(p *parts) { p.magnets = strings.Replace(p.magnets, "cathode: return", "cathode: pin", 1) }, []string{"error diode-reversed"}},
		"a return on the wrong pole":           {func(p *parts) { p.returns = strings.Replace(p.returns, "positive", "negative", 1) }, []string{"error return-mixed", "error pull-in-low"}},
		"a fuse in a return":                   {func(p *parts) { p.returns += ", fuse: 10" }, []string{"warning return-fused"}},
		"electronics on the return of magnets": {func(p *parts) { p.returns += ", logic: true" }, []string{"warning return-shared"}},
		"no return":                            {func(p *parts) { p.returns = "kinds: [note], gauge: 14, length: 3 m" }, []string{"warning no-return", "note electrical-unchecked"}},
		"61 notes on a cable of 50":            {func(p *parts) { p.cable = strings.Replace(p.cable, "75", "50", 1) }, []string{"error cable-short"}},
		"few wires to spare":                   {func(p *parts) { p.cable = strings.Replace(p.cable, "75", "62", 1) }, []string{"note spares-few"}},
		"first wires that look alike":          {func(p *parts) { p.cable += ", code: 25-pair, banded: ring-only" }, []string{"warning tips-alike"}},
		"650.4: over 30 V":                     {func(p *parts) { p.supply = strings.Replace(p.supply, "volts: 12", "volts: 31", 1) }, []string{"error code-650-4"}},
		"650.4: over 30 V only without load":   {func(p *parts) { p.supply = strings.Replace(p.supply, "volts: 12", "volts: {idle: 30.1, full: 28}", 1) }, []string{"error code-650-4"}},
		"650.4: not listed":                    {func(p *parts) { p.supply = strings.Replace(p.supply, "listed: true", "listed: false", 1) }, []string{"error code-650-4"}},
		"650.5: not bonded":                    {func(p *parts) { p.supply = strings.Replace(p.supply, "bonded", "none", 1) }, []string{"error code-650-5"}},
		"650.6: magnets on 28 AWG":             {func(p *parts) { p.cable = strings.Replace(p.cable, "gauge: 24", "gauge: 28", 1) }, []string{"error code-650-6"}},
		"650.6: a main return of 16 AWG":       {func(p *parts) { p.returns = strings.Replace(p.returns, "gauge: 14", "gauge: 16", 1) }, []string{"error code-650-6"}},
		"650.6: nothing against flame":         {func(p *parts) { p.cable += ", protection: none" }, []string{"error code-650-6"}},
		"650.8: 26 AWG behind 10 A": {func(p *parts) {
			p.cable = strings.Replace(p.cable, "24", "26", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, []string{"error code-650-8"}},
		"without a code 26 AWG behind 10 A may be": {func(p *parts) {
			p.electrical = "code: none"
			p.cable = strings.Replace(p.cable, "24", "26", 1)
			p.board = strings.Replace(p.board, "fuse: 6", "fuse: 10", 1)
		}, nil},
		"IEC: touchable up to 60 V": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 61", 1)
		}, []string{"error touch-voltage"}},
		"IEC: 30 V are no matter": {func(p *parts) {
			p.electrical = "code: iec"
			p.supply = strings.Replace(p.supply, "volts: 12", "volts: 30", 1)
		}, nil},
		"a feed thinner than its fuse asks for": {func(p *parts) { p.board += ", feed: {gauge: 24, length: 3 m}" }, []string{"warning wire-over"}},
		"two supplies that do not share": {func(p *parts) {
			p.supply += "}, other: {volts: 12, amps: 20, listed: true, grounding: bonded"
			p.board = strings.Replace(p.board, "supply: main", "supply: [main, other]", 1)
		}, []string{"error supplies-paralleled", "error supplies-paralleled"}},
		"two supplies that share": {func(p *parts) {
			p.supply += ", shares: true}, other: {volts: 12, amps: 20, listed: true, grounding: bonded, shares: true"
			p.board = strings.Replace(p.board, "supply: main", "supply: [main, other]", 1)
		}, nil},
		"what is not given is said once, and not more": {func(p *parts) { p.magnets = "kinds: [valve], ohms: 150" }, []string{"note electrical-unchecked"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := right()
			c.change(&p)
			found := Check(p.load(t))
			require.ElementsMatch(t, append([]string{}, c.want...), rules(found), "%v", found)
			for _, f := range found {
				require.NotEmpty(t, f.File)
				require.True(t, f.Line > 0 || f.Rule == Unchecked, "%v", f)
				if strings.HasPrefix(f.Rule, "code-") {
					require.Contains(t, f.Message, "NEC 2020, 650."+f.Rule[len("code-650-"):])
				}
			}
		})
	}
}

func TestBadInputHasAPlace(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*parts)
		want   string
	}{
		"zero ohms":                   {func(p *parts) { p.magnets = "kinds: [valve], ohms: 0" }, "ohms is a number from 0.1 to 1e+06"},
		"negative ohms":               {func(p *parts) { p.magnets = "kinds: [valve], ohms: -150" }, "ohms is a number"},
		"no ohms":                     {func(p *parts) { p.magnets = "kinds: [valve]" }, "lacks the field ohms"},
		"ohms that are no number":     {func(p *parts) { p.magnets = "kinds: [valve], ohms: NaN" }, "ohms is a number"},
		"infinite ohms":               {func(p *parts) { p.magnets = "kinds: [valve], ohms: .inf" }, "ohms is a number"},
		"a length of nothing":         {func(p *parts) { p.cable = "gauge: 24, length: 0 m" }, "is no length of a wire"},
		"a negative length":           {func(p *parts) { p.cable = "gauge: 24, length: -3 m" }, "is no length of a wire"},
		"a length without a unit":     {func(p *parts) { p.cable = "gauge: 24, length: 18" }, "has no unit"},
		"a gauge that does not exist": {func(p *parts) { p.cable = "gauge: 77, length: 18 m" }, "there is no gauge"},
		"a pulse without a unit":      {func(p *parts) { p.magnets += ", pulse: 200" }, "has no unit"},
		"a supply that feeds itself":  {func(p *parts) { p.supply += ", from: main" }, "feeds itself"},
		"supplies that feed each other": {func(p *parts) {
			p.supply += ", from: other}, other: {volts: 24, amps: 2, from: main"
		}, "feeds itself"},
		"a return into itself":       {func(p *parts) { p.returns += ", into: chamber" }, "runs into itself"},
		"a supply that is not there": {func(p *parts) { p.board = strings.Replace(p.board, "main", "mian", 1) }, "no supply mian"},
		"a fuse that is not there":   {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: F9", 1) }, "no fuse F9"},
		"a fuse below nothing":       {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: -6", 1) }, "fuse is a number"},
		"volts that rise under load": {func(p *parts) { p.supply = "volts: {idle: 12, full: 13}, amps: 2" }, "does not gain volts"},
		"a class of nothing":         {func(p *parts) { p.magnets = "ohms: 150" }, "nothing says which magnets"},
		"a kind that has no magnets": {func(p *parts) { p.magnets = "kinds: [key], ohms: 150" }, "no kind of magnet key"},
		"a code that is none":        {func(p *parts) { p.electrical = "code: moon" }, "code is one of"},
		"groups without a gap":       {func(p *parts) { p.electrical = "group: 8" }, "lacks the field gap"},
	} {
		t.Run(name, func(t *testing.T) {
			p := right()
			c.change(&p)
			r, in := p.load(t)
			read, found := Read(r, in)
			require.Nil(t, read)
			said := ""
			for _, f := range found {
				said += f.Message + "\n"
			}
			require.Contains(t, said, c.want)
			for _, f := range found {
				require.NotZero(t, f.Line)
				require.True(t, finding.Broken([]finding.Finding{f}))
			}
			require.NotPanics(t, func() { Check(r, in) })
		})
	}
}

// "One 6 A fuse feeds at most 75 magnets of 150 ohm at 12 V": 75 draw 6 A, and
// 76 more. With one class of 38 magnets on 38 pins two each, that is 76.
func TestASixAmpFuseFeeds75MagnetsOf150OhmsAt12Volts(t *testing.T) {
	draw := func(magnets int) float64 {
		c := &Circuit{Settings: Settings{WiresAt: 20}, Supplies: []Supply{{Idle: 12, Full: 12}},
			Fuses: []Fuse{{Amps: 6}}, Boards: []Board{{Fuse: 0, Switches: Positive}}, Magnets: []Magnet{{Ohms: 150, Hot: 20, Count: 1}}}
		on := []bool{}
		for pin := range magnets {
			c.Loads = append(c.Loads, Load{Pin: wiring.Terminal{Pin: pin + 1}, Return: None})
			on = append(on, true)
		}
		return c.Flow(on, false).Fuse[0]
	}
	require.LessOrEqual(t, draw(75), 6.0)
	require.Greater(t, draw(76), 6.0)
	require.InDelta(t, 6, draw(75), 1e-4)
}

// Magnets of 80 mA on a shared return of 14 AWG, 60 feet: 61 of them lose
// 0.74 V there, 200 lose 2.4 V, 400 lose 4.8 V (the worked figures take every
// magnet's current as it would be without the drop, so the current is held).
func TestDropsOnASharedReturn(t *testing.T) {
	for magnets, want := range map[int]float64{61: 0.74, 200: 2.4, 400: 4.8} {
		back := Wire{Gauge: AWG(14), Metres: 60 * 0.3048, Count: 1}
		c := &Circuit{Settings: Settings{WiresAt: 20}, Supplies: []Supply{{Idle: 120_012, Full: 120_012}},
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
	each := make([]float64, 20)
	for i := range each {
		each[i] = 0.5
	}
	require.Equal(t, Change{0, 20, 10, 10, 200}, staggered(0, each, 200, Settings{}))
	require.Equal(t, Change{0, 20, 10, 8, 400}, staggered(0, each, 200, Settings{Group: 4, Gap: 50}))
	require.Equal(t, Change{0, 20, 10, 2, 1000}, staggered(0, each, 200, Settings{Group: 4, Gap: 200}))
}

// Whatever stands in the file, it is either refused or worked out in numbers.
func TestNoNumberIsEverInfinite(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		number := func(name string) string {
			return rapid.SampledFrom([]string{"0", "-1", "1e-9", "0.1", "0.11", "1", "6", "12", "150", "999", "1000000", "1e999", "NaN", "x"}).Draw(rt, name)
		}
		word := func(name string, words ...string) string { return rapid.SampledFrom(words).Draw(rt, name) }
		p := parts{
			electrical: "wires-at: " + word("at", "-40", "20", "120"),
			supply:     "volts: {idle: " + number("idle") + ", full: " + number("full") + "}, amps: " + number("amps"),
			board:      "drop: " + number("drop") + ", fuse: " + number("fuse") + ", amps: " + number("board") + word("switches", "", ", switches: negative"),
			cable:      "gauge: " + word("gauge", "0", "24", "40", "41", "0.01 mm2") + ", length: " + number("length") + word("unit", "", " m", " ft"),
			magnets:    "kinds: [valve], ohms: " + number("ohms") + ", hot: " + number("hot") + ", pull-in: " + number("pull-in"),
			returns:    "kinds: [valve], gauge: 14, length: 3 m, wires: " + word("wires", "0", "1", "7"),
		}
		r, in := load(t, dir, p.text())
		Check(r, in)
		c, _ := Read(r, in)
		if c == nil {
			return
		}
		for _, hot := range []bool{false, true} {
			f := c.Flow(c.everything(), hot)
			for _, list := range [][]float64{f.Load, f.Coil, f.Supply, f.Fuse, f.Board, f.Ret, f.Wire} {
				for _, v := range list {
					require.False(rt, math.IsNaN(v) || math.IsInf(v, 0), "%v", v)
				}
			}
		}
	})
}
