package contact_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/contact"
	"trundle/sim/wiring"
)

// openReturn is a celeste hung in parallel on the lines of its flute, with a
// return of its own.
func openReturn(t *testing.T, of string) (*wiring.Relay, *console.Instrument) {
	return load(t, "  X1: {kind: output, pins: 61}", "X1,1..61,valve,flute,,,,\nX1,1..61,valve,celeste,,,,\n",
		"returns: {celeste-common: {of: [celeste], "+of+"}}\nmagnets: {small: {of: [flute, celeste], ohms: 150}}\n")
}

func TestBackFeed(t *testing.T) {
	const way = ", and its magnets find each other: with X1.2 driven, current runs through celeste:2, backwards through celeste:1, and home through flute:1 on X1.1; " +
		"the return floats to 8.0 of 12 V and the idle magnets carry 26.7 mA"
	for name, c := range map[string]struct {
		sections string
		want     []string
	}{
		"a return that is open": {
			"returns: {celeste-common: {of: [celeste], wires: 0}}\nmagnets: {small: {of: [flute, celeste], ohms: 150}}",
			[]string{"back-feed error: the return celeste-common is open" + way}},
		"a stop switched in the common of a rank in parallel": {
			"returns: {celeste-common: {of: [celeste], switch: great-celeste-8}}\nmagnets: {small: {of: [flute, celeste], ohms: 150}}",
			[]string{"back-feed error: the return celeste-common is open while great-celeste-8 is off" + way}},
		"a diode in series with every magnet": {
			"returns: {celeste-common: {of: [celeste], switch: great-celeste-8}}\nmagnets: {small: {of: [flute, celeste], ohms: 150, series-diodes: true}}",
			nil},
		"both commons switched by one stop": {
			"returns: {a: {of: [celeste], switch: great-celeste-8}, b: {of: [flute], switch: great-celeste-8}}", nil},
		"commons switched by stops of their own": {
			"returns: {a: {of: [celeste], switch: great-celeste-8}, b: {of: [flute], switch: great-flute-8}}",
			[]string{"back-feed error: the return a is open while great-celeste-8 is off, and its magnets find each other: with X1.2 driven, current runs through celeste:2, backwards through celeste:1, and home through flute:1 on X1.1",
				"back-feed error: the return b is open while great-flute-8 is off, and its magnets find each other: with X1.2 driven, current runs through flute:2, backwards through flute:1, and home through celeste:1 on X1.1"}},
		"one wire home": {
			"returns: {a: {of: [celeste]}}",
			[]string{"back-feed note: the return a hangs on one wire; should that break, its magnets find each other"}},
		"a return of some kinds of a rank's magnets": {
			"returns: {celeste-common: {of: [celeste], kinds: [valve], wires: 0}, actions: {of: [celeste], kinds: [action], wires: 2}}\nmagnets: {small: {kinds: [valve], ohms: 150}}",
			[]string{"back-feed error: the return celeste-common is open" + way}},
		"a return of all that no other has": {
			"returns: {a: {of: [flute], wires: 2}, rest: {kinds: [valve], wires: 0}}\nmagnets: {small: {kinds: [valve], ohms: 150}}",
			[]string{"back-feed error: the return rest is open" + way}},
		"a return of other kinds": {"returns: {a: {of: [celeste], kinds: [action]}}", nil},
		"two wires home":          {"returns: {a: {of: [celeste], wires: 2}}", nil},
		"an open return with nothing beside it": {
			"returns: {a: {of: [celeste, flute], wires: 0}}",
			[]string{"back-feed error: the return a is open: no current of its magnets gets home"}},
		"nothing said of returns": {"", nil},
	} {
		t.Run(name, func(t *testing.T) {
			r, in := load(t, "  X1: {kind: output, pins: 61}", "X1,1..61,valve,flute,,,,\nX1,1..61,valve,celeste,,,,\n", c.sections)
			require.Equal(t, c.want, lines(contact.Check(r, in)))
		})
	}
}

func TestWhatHasNoMeaningIsSaidWithItsPlace(t *testing.T) {
	for text, want := range map[string]string{
		"returns: {a: {of: [celest]}}":                                  `5:20: no chest or rank celest`,
		"returns: {a: {of: [celeste], switch: celeste}}":                `no control celeste`,
		"returns: {a: {of: [celeste], wires: two}}":                     `wires is a whole number from 0 to 999, not "two"`,
		"returns: [celeste]":                                            `a list stands where a map of`,
		"returns: {a: {of: celeste}, b: {of: celeste}}":                 `a and b both are the return of the same magnets`,
		"returns: {a: {of: celeste}, b: {of: celeste, kinds: [valve]}}": `a and b both are the return of the same magnets`,
		"returns: {a: {kinds: [valves]}}":                               `no kind of magnet valves`,
		"magnets: {a: {of: celeste, ohms: -1}}":                         `ohms is a number from 0.1 to 1e+06, not "-1"`,
	} {
		r, in := load(t, "  X1: {kind: output, pins: 61}", "X1,1..61,valve,flute,,,,\n", text)
		found := contact.Check(r, in)
		require.NotEmpty(t, found, text)
		require.Contains(t, found[0].Place.String()+": "+found[0].Message, want)
	}
	for scan, want := range map[string]string{
		"{rows: 8}":                                    "a scan lacks the field columns",
		"{rows: 8, columns: 4}":                        "8 rows by 4 columns are 32 crossings, and K1 has 64 pins",
		"{rows: 8, columns: 8, diodes: some}":          "these are no diodes",
		"{rows: 8, columns: 8, diodes: {missing: 65}}": "the scan has no crossing 65: it has 1..64",
		"{rows: 8, columns: 8, diodes: {missing: x}}":  "x",
		"{rows: 0, columns: 8}":                        `rows is a whole number from 1 to 999, not "0"`,
		"[8, 8]":                                       "a list stands where a map of",
	} {
		r, in := load(t, "  K1: {kind: input, pins: 64, scan: "+scan+"}", "K1,1..61,key,great,,,,\n", "")
		found := contact.Check(r, in)
		require.NotEmpty(t, found, scan)
		require.Contains(t, found[0].Message, want)
		require.NotZero(t, found[0].Line)
	}
}
