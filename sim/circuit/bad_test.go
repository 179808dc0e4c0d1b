package circuit

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console/finding"
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
