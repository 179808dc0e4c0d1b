package circuit

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

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
		"power passed on, of no other supply": {func(p *parts) { p.supply += ", efficiency: 0.8" }, "lacks the field from"},
		"more power passed on than taken": {func(p *parts) {
			p.supply += "}, other: {volts: 5, from: main, efficiency: 1.2"
		}, "efficiency is a number from 0.1 to 1"},
		"a supply fed by itself through others": {func(p *parts) {
			p.supply += ", from: a}, a: {volts: 24, from: b}, b: {volts: 24, from: main"
		}, "feeds itself"},
		"a feed without a unit":          {func(p *parts) { p.board += ", feed: {gauge: 14, length: 3}" }, "has no unit"},
		"a gap without a unit":           {func(p *parts) { p.electrical = "group: 8, gap: 50" }, "has no unit"},
		"no wires in parallel":           {func(p *parts) { p.returns += ", wires: -1" }, "wires is a whole number"},
		"a return into itself":           {func(p *parts) { p.returns += ", into: chamber" }, "runs into itself"},
		"a supply that is not there":     {func(p *parts) { p.board = strings.Replace(p.board, "main", "mian", 1) }, "no supply mian"},
		"a fuse that is not there":       {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: F9", 1) }, "no fuse F9"},
		"a fuse below nothing":           {func(p *parts) { p.board = strings.Replace(p.board, "fuse: 6", "fuse: -6", 1) }, "fuse is a number"},
		"volts that rise under load":     {func(p *parts) { p.supply = "volts: {idle: 12, full: 13}, amps: 2" }, "does not gain volts"},
		"a class of nothing":             {func(p *parts) { p.magnets = "ohms: 150" }, "nothing says which magnets"},
		"a kind that has no magnets":     {func(p *parts) { p.magnets = "kinds: [key], ohms: 150" }, "no kind of magnet key"},
		"a code that is none":            {func(p *parts) { p.electrical = "code: moon" }, "code is one of"},
		"a place for what is not there":  {func(p *parts) { p.more = "places: {loft: {of: [X9]}}" }, "no board or strip X9"},
		"a place for nothing":            {func(p *parts) { p.more = "places: {loft: {enclosed: true}}" }, "lacks the field of"},
		"a board in two places":          {func(p *parts) { p.more = "places: {loft: {of: X1}, console: {of: X1}}" }, "X1 stands in loft and in console"},
		"a link to what is not there":    {func(p *parts) { p.more = "links: {console: {to: X9}}" }, "no board or strip X9"},
		"a link that does neither":       {func(p *parts) { p.more = "links: {console: {to: X1, on-loss: shout}}" }, "on-loss is one of silence, hold"},
		"a link to nowhere":              {func(p *parts) { p.more = "links: {console: {on-loss: hold}}" }, "lacks the field to"},
		"a wire of no strands":           {func(p *parts) { p.cable = "gauge: 24, length: 18 m, strands: 0" }, "strands is a whole number from 1"},
		"a wire that is coated somewhat": {func(p *parts) { p.cable = "gauge: 24, length: 18 m, coated: somewhat" }, "coated is one of true, false"},
		"a threshold of nothing":         {func(p *parts) { p.keys = "threshold: 0" }, "threshold is a number"},
		"an input of no ohms":            {func(p *parts) { p.keys = "ohms: 0" }, "ohms is a number"},
		"a ripple of more than all":      {func(p *parts) { p.supply = "volts: 12, ripple: 2" }, "ripple is a number"},
		"a separation of another sort":   {func(p *parts) { p.supply = "volts: 12, separation: elv" }, "separation is one of selv, pelv, felv"},
		"insulation by name":             {func(p *parts) { p.cable = "insulation: cotton" }, "insulation is one of thermoplastic, thermosetting, other"},
		"groups without a gap":           {func(p *parts) { p.electrical = "group: 8" }, "lacks the field gap"},
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

// Whatever stands in the file, it is either refused or worked out in numbers.
func TestNoNumberIsEverInfinite(t *testing.T) {
	dir := t.TempDir()
	worked := 0
	rapid.Check(t, func(rt *rapid.T) {
		bad := rapid.SampledFrom([]string{"", "", "idle", "full", "amps", "drop", "fuse", "board", "length", "ohms", "hot", "pull-in"}).Draw(rt, "bad")
		number := func(name string) string { // at the ends of what may be, or beyond
			if name == bad {
				return rapid.SampledFrom([]string{"0", "-1", "1e-9", "1000001", "1e999", "NaN", "x"}).Draw(rt, name)
			}
			ends := map[string][]string{"idle": {"0.1", "12", "1000"}, "full": {"0.1", "0.11"}, "amps": {"0.001", "20", "100000"}, "drop": {"0", "1", "10"},
				"fuse": {"0.01", "6", "10000"}, "board": {"0.001", "10000"}, "length": {"0.001", "18", "3000"}, "ohms": {"0.1", "150", "1000000"},
				"hot": {"0", "60", "200"}, "pull-in": {"0.01", "8", "1000"}}
			return rapid.SampledFrom(ends[name]).Draw(rt, name)
		}
		word := func(name string, words ...string) string { return rapid.SampledFrom(words).Draw(rt, name) }
		p := parts{
			electrical: "wires-at: " + word("at", "-40", "20", "120") + word("groups", "", ", group: 8, gap: 50 ms", ", group: 9999, gap: 60 s") + word("code", "", ", code: us", ", code: iec"),
			supply: "volts: {idle: " + number("idle") + ", full: " + number("full") + "}, amps: " + number("amps") +
				word("from", "", "}, other: {volts: 12, amps: 2, from: main", "}, other: {volts: 1000, from: main, efficiency: 0.1"),
			board: "drop: " + number("drop") + ", fuse: " + number("fuse") + ", amps: " + number("board") + word("switches", "", ", switches: negative") +
				word("supply", "", ", supply: main", ", supply: main", ", supply: [main, other]") + word("feed", "", ", feed: {gauge: 14, length: 3 m}", ", feed: {length: 9999 m}"),
			cable:   "gauge: " + word("gauge", "0", "24", "40", "0.01 mm2") + ", length: " + number("length") + word("unit", " m", " ft"),
			magnets: "kinds: [valve], ohms: " + number("ohms") + ", hot: " + number("hot") + ", pull-in: " + number("pull-in") + word("pulse", "", ", pulse: 200 ms"),
			returns: "kinds: [valve], gauge: 14, length: 3 m, wires: " + word("wires", "1", "7") + word("joined", "", ", joined: true"),
		}
		r, in := load(t, dir, p.text())
		if finite(rt, r, in) {
			worked++
		}
	})
	require.Greater(t, worked, 10)
}

// finite works out all there is of a relay, which must have no number that is
// none, and reports whether there was anything to work out.
func finite(t require.TestingT, r *wiring.Relay, in *console.Instrument) bool {
	Check(r, in)
	c, found := Read(r, in)
	if c == nil {
		require.NotEmpty(t, found)
		return false
	}
	s := NewReporter(c, r, in, OnePlayer)
	rep := s.Report()
	sizes := s.Sizes(rep)
	numbers := []float64{sizes.Copper, sizes.Bound}
	for _, rep := range []Report{rep, sizes.Report} {
		for _, l := range rep.Lines {
			numbers = append(numbers, l.Rated, l.Everything, l.Chord.Amps, l.Chord.Bound, l.Cluster.Amps, l.Cluster.Bound, l.Settled, l.One, l.Pulses)
		}
		for _, f := range rep.Floors {
			numbers = append(numbers, f.Volts, f.Needs, f.Lost, f.Allowed)
		}
		for _, ch := range rep.Change {
			numbers = append(numbers, ch.AtOnce, ch.Stepped, ch.Peak, ch.Millis)
		}
		for _, d := range []*Drop{rep.Drop, rep.Moving} {
			if d != nil {
				numbers = append(numbers, d.Volts, d.Needs, d.Everything)
				for _, h := range d.Hops {
					numbers = append(numbers, h.Volts)
				}
			}
		}
	}
	for _, part := range sizes.Parts {
		numbers = append(numbers, part.Amps, part.Copper)
	}
	for _, up := range c.PowerUps() {
		for _, step := range up.Steps {
			numbers = append(numbers, step.Cold, step.Hot, step.Volts)
		}
	}
	for _, hot := range []bool{false, true} {
		f := c.Flow(c.everything(), hot)
		numbers = slices.Concat(numbers, f.Load, f.Coil, f.Supply, f.Fuse, f.Board, f.Ret, f.Wire)
	}
	for _, v := range numbers {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%v", v)
	}
	return true
}

// Any text in the place of what is electrical.
func FuzzElectrical(f *testing.F) {
	file := filepath.Join(f.TempDir(), "organ.yaml")
	require.NoError(f, os.WriteFile(file, []byte(organ), 0o600))
	in, _ := console.Load(file)
	require.NotNil(f, in)
	p := right()
	f.Add(p.text())
	p.supply += ", from: other, efficiency: 0.5}, other: {volts: {idle: 30, full: 20}, amps: 3, shares: true"
	p.magnets += ", pulse: 0.2 s, duty: 0.1, count: 2, hot: 90"
	p.board += ", feed: {gauge: 1.5 mm2, length: 9 ft, strands: 7, coated: true}"
	p.electrical = "code: iec, drop: 0.2, group: 3, gap: 20 ms, wires-at: -10"
	p.returns += ", into: trunk, joined: true, wires: 2, logic: true, fuse: 3}, trunk: {length: 3 m"
	f.Add(p.text())
	f.Fuzz(func(t *testing.T, text string) {
		dir := t.TempDir()
		write := func(name, text string) string {
			path := filepath.Join(dir, name)
			require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
			return path
		}
		write("wiring.csv", "board,pins,kind,item,notes,cable,wires,group\nX1,1..61,valve,flute,1..61,CX1,1..61,\n")
		if r, _ := wiring.Load(write("relay.yaml", text), in); r != nil {
			finite(t, r, in)
		}
	})
}
