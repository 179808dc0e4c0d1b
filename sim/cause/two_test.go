package cause

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// unitFiles are an instrument of two unit ranks and its relay, as a person writes
// them.
func unitFiles() map[string]string {
	return map[string]string{
		"organ.yaml": `format: 1
keyboards: {pedal: {kind: pedal, keys: C2..D4}, manual: {kind: manual, keys: C2..F6}}
divisions: {manual: {keyboard: manual, chest: unit}, pedal: {keyboard: pedal, chest: unit}}
ranks:
  flute: {division: manual, feet: 16, pipes: 90}
  oboe: {division: manual, feet: 8, pipes: 66}
stops:
  flute-16: {division: manual, feet: 16, rank: flute}
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-4: {division: manual, feet: 4, rank: flute}
  flute-3: {division: manual, feet: 2 2/3, rank: flute}
  oboe-8: {division: manual, feet: 8, rank: oboe}
  pedal-flute: {division: pedal, feet: 16, rank: flute}
  pedal-oboe: {division: pedal, feet: 8, rank: oboe}
`,
		"relay.yaml": `format: 1
boards:
  KP: {kind: input, pins: 32}
  KM: {kind: input, pins: 64}
  S: {kind: input, pins: 8}
  X: {kind: output, pins: 96}
  Y: {kind: output, pins: 40}
  Z: {kind: output, pins: 40}
wiring: [wiring.csv]
switching: [switching.csv]
`,
		"wiring.csv": `board,pins,kind,item,notes,cable,wires,group
KP,1..27,key,pedal,C2..D4,CP,1..27,
KM,1..54,key,manual,C2..F6,CM,1..54,
S,1,stop,flute-16,,CS,1,
S,2,stop,flute-8,,CS,2,
S,3,stop,flute-4,,CS,3,
S,4,stop,flute-3,,CS,4,
S,5,stop,oboe-8,,CS,5,
S,6,stop,pedal-flute,,CS,6,
S,7,stop,pedal-oboe,,CS,7,
X,1..90,valve,flute,1..90,CX,1..90,
Y,1..36,valve,oboe,1..36,CY,1..36,
Z,1..30,valve,oboe,37..66,CZ,1..30,
`,
		"switching.csv": `kind,line,notes,control,board,pins,to,to-notes,picks
read,pedal,C2..D4,,KP,1..27,,,
read,manual,C2..F6,,KM,1..54,,,
read,,,flute-16,S,1,,,
read,,,flute-8,S,2,,,
read,,,flute-4,S,3,,,
read,,,flute-3,S,4,,,
read,,,oboe-8,S,5,,,
read,,,pedal-flute,S,6,,,
read,,,pedal-oboe,S,7,,,
drive,manual,C2..F6,flute-16,X,1..54,,,
drive,manual,C2..F6,flute-8,X,13..66,,,
drive,manual,C2..F6,flute-4,X,25..78,,,
drive,manual,C2..F6,flute-3,X,32..85,,,
drive,manual,C2..B4,oboe-8,Y,1..36,,,
drive,manual,C5..F6,oboe-8,Z,1..18,,,
drive,pedal,C2..D4,pedal-flute,X,1..27,,,
drive,pedal,C2..D4,pedal-oboe,Y,1..27,,,
`,
	}
}

// slip is a row written wrong.
type slip struct{ file, row, as string }

// slipped writes files with some slips, and reads them.
func slipped(t *testing.T, slips ...slip) (*console.Instrument, *wiring.Relay) {
	dir := t.TempDir()
	files := unitFiles()
	for _, s := range slips {
		if s.file == "wired.csv" && files[s.file] == "" {
			files[s.file] = files["wiring.csv"]
			files["relay.yaml"] += "wired: [wired.csv]\n"
		}
		require.Contains(t, files[s.file], s.row)
		files[s.file] = strings.Replace(files[s.file], s.row, s.as, 1)
	}
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	in, found := console.Load(filepath.Join(dir, "organ.yaml"))
	require.NotNil(t, in, "%v", found)
	r, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
	require.NotNil(t, r, "%v", found)
	return in, r
}

// Slips of a hand, one or two at once, each named at its row, with the row as it
// was: the files before the slip are what is outside the diagnosis.
func TestSlipsAreNamedAtTheirRows(t *testing.T) {
	const wires, notes = "X,1..90,valve,flute,1..90,CX,1..90,", "drive,manual,C2..F6,flute-3,X,32..85,,,"
	swap := slip{"wiring.csv", wires, "X,1..44 46..45 47..90,valve,flute,1..90,CX,1..90,"}
	contacts := slip{"wiring.csv", "S,2,stop,flute-8,,CS,2,\nS,3,stop,flute-4,,CS,3,", "S,2,stop,flute-4,,CS,2,\nS,3,stop,flute-8,,CS,3,"}
	for name, c := range map[string]struct {
		slips []slip
		says  string // of the first
	}{
		"a wire swap in a unit rank":                       {[]slip{swap}, "flute:46 and flute:45 are exchanged"},
		"the same as stop contacts are exchanged":          {[]slip{contacts, swap}, "flute-4 and flute-8 are exchanged"},
		"two rows of the table on wrong pins":              {[]slip{{"switching.csv", notes, strings.Replace(notes, "32..85", "33..86", 1)}, {"switching.csv", "pedal-oboe,Y,1..27", "pedal-oboe,Y,10..36"}}, "one too high"},
		"a wire swap and a row of the table on wrong pins": {[]slip{swap, {"switching.csv", notes, strings.Replace(notes, "32..85", "33..86", 1)}}, ""},
		"a row of valves an octave high":                   {[]slip{{"wiring.csv", "Y,1..36,valve,oboe,1..36", "Y,1..36,valve,oboe,13..48"}}, "36 of oboe are an octave off"},
		"a row of valves seven high":                       {[]slip{{"wiring.csv", "Y,1..36,valve,oboe,1..36", "Y,1..36,valve,oboe,8..43"}}, "36 of oboe sit 7 pins too low"},
		"a row of valves an octave low":                    {[]slip{{"wiring.csv", "Z,1..30,valve,oboe,37..66", "Z,1..30,valve,oboe,25..54"}}, "30 of oboe are an octave off"},
		"a row an octave high of what was soldered":        {[]slip{{"wired.csv", "Y,1..36,valve,oboe,1..36", "Y,1..36,valve,oboe,13..48"}}, "36 of oboe are an octave off"},
		"two rows of the key matrix":                       {[]slip{{"wiring.csv", "KM,1..54,key", "KM,1..8 17..24 9..16 25..54,key"}}, "rows 2 and 3 of the key matrix, of 8 keys each, are exchanged"},
		"two columns of the key matrix":                    {[]slip{{"wiring.csv", "KM,1..54,key", "KM,1..2 4..3 5..10 12..11 13..18 20..19 21..26 28..27 29..34 36..35 37..42 44..43 45..50 52..51 53..54,key"}}, "columns 3 and 4 of the key matrix, of 8, are exchanged"},
		"a pin skipped":                                    {[]slip{{"switching.csv", "KP,1..27", "KP,1..12 14..28"}}, "skips KP.13: from there on its pins are one too high"},
		"a run folded":                                     {[]slip{{"switching.csv", "pedal-flute,X,1..27", "pedal-flute,X,1..12 1..15"}}, "folds back to X.1, where the run goes straight on to X.13"},
	} {
		t.Run(name, func(t *testing.T) {
			in, r := slipped(t, c.slips...)
			found := Find(in, r, proof.Differing(in, r))
			require.Empty(t, found.Unexplained)
			require.Len(t, found.Causes, len(c.slips))
			require.Contains(t, found.Causes[0].Message+found.Causes[len(found.Causes)-1].Message, c.says)
			files := unitFiles()
			for _, cause := range found.Causes {
				require.NotContains(t, cause.Message, " 0 too")
				write(t, cause.Cure)
			}
			for _, s := range c.slips {
				text, err := os.ReadFile(filepath.Join(filepath.Dir(r.File), s.file))
				require.NoError(t, err)
				if s.file != "wired.csv" {
					require.Equal(t, files[s.file], string(text))
				}
			}
			cured, _ := wiring.Load(r.File, in)
			require.Empty(t, errorsIn(cured, in))
			require.Equal(t, proof.Equal, proof.Prove(in, cured).Verdict)
		})
	}
}

// errorsIn are the errors of a relay that need no proof.
func errorsIn(r *wiring.Relay, in *console.Instrument) (list []finding.Finding) {
	for _, f := range wiring.Check(r, in) {
		if f.Severity == finding.Error {
			list = append(list, f)
		}
	}
	return list
}

// Two mistakes at once, planted by sim/gen, which knows nothing of the diagnosis:
// with the fixes written into the files, nothing hangs twice or nowhere that did
// not before; and where the mistakes are in different rows and make different
// valves wrong, most are named, both at their rows.
func TestTwoMistakesAtOnce(t *testing.T) {
	wires := []string{"pins-swapped", "run-shifted", "octave-off", "order-reversed", "pair-exchanged", "pin-open", "plugs-swapped", "wires-off"}
	table := []string{"wrong-control", "literal-missing", "literal-inverted", "wrong-shift", "row-extra", "literal-extra"}
	apart, named := 0, 0
	for seed := range uint64(75) {
		a, b := wires, wires
		if seed%3 > 0 {
			b = table
		}
		if seed%3 > 1 {
			a = table
		}
		in := gen.Instrument(seed, gen.Tiny)
		clean := gen.Design(seed, in, gen.Options{Cables: true})
		if clean.Derived {
			continue
		}
		classes := []string{a[int(seed/3)%len(a)], b[int(seed/3+1+seed/24)%len(b)]}
		first, ok := gen.Plant(seed, clean, in, classes[0])
		second, also := gen.Plant(seed+1, clean, in, classes[1])
		if !ok || !also {
			continue
		}
		both, together := gen.Plant(seed+1, first.Relay, in, classes[1])
		if !together {
			continue
		}
		one, other := proof.Differing(in, first.Relay), proof.Differing(in, second.Relay)
		disjoint := len(one) > 0 && len(other) > 0 && !slices.ContainsFunc(one, func(v int) bool { return slices.Contains(other, v) })
		if !disjoint && seed%5 > 0 {
			continue
		}
		dir := t.TempDir()
		require.NoError(t, gen.FilesOf(both.Relay, in).Write(dir))
		in, _ = console.Load(filepath.Join(dir, gen.InstrumentFile))
		r, _ := wiring.Load(filepath.Join(dir, gen.RelayFile), in)
		if r == nil {
			continue
		}
		found := Find(in, r, proof.Differing(in, r))
		written := map[finding.Place]bool{}
		for _, c := range found.Causes {
			if !slices.ContainsFunc(c.Cure, func(e Edit) bool { return e.Old != "" && written[e.At] }) {
				write(t, c.Cure)
			}
			for _, e := range c.Cure {
				written[e.At] = true
			}
		}
		cured, broken := wiring.Load(r.File, in)
		require.NotNil(t, cured, "seed %d: %v", seed, broken)
		requireKept(t, in, r, cured, "seed %d: %s, %s", seed, first.Description, both.Description)
		if !disjoint {
			continue
		}
		if apart++; len(found.Causes) == 2 && claims(found.Causes, one) && claims(found.Causes, other) && proof.Prove(in, cured).Verdict == proof.Equal {
			named++
		} else if testing.Verbose() {
			t.Logf("seed %d: %s (%s), %s (%s)", seed, first.Class, first.Description, both.Class, both.Description)
			for _, c := range found.Causes {
				t.Logf("    %s %s; %s", c.At, c.Message, c.Fix)
			}
		}
	}
	t.Logf("%d of %d named", named, apart)
	require.Greater(t, apart, 10)
	require.GreaterOrEqual(t, named*100, apart*80, "%d of %d", named, apart)
}

// claims reports whether a cause claims just these valves.
func claims(causes []Cause, valves []int) bool {
	return slices.ContainsFunc(causes, func(c Cause) bool { return slices.Equal(c.Valves, valves) })
}

// requireKept requires that no thing hangs nowhere or twice, and no pin has two,
// that did not before.
func requireKept(t *testing.T, in *console.Instrument, before, after *wiring.Relay, args ...any) {
	things, pins := placesOf(in, before.Soldered())
	thingsNow, pinsNow := placesOf(in, after.Soldered())
	for thing := range things {
		require.Positive(t, thingsNow[thing], args...)
	}
	for thing, n := range thingsNow {
		require.LessOrEqual(t, n, max(1, things[thing]), args...)
	}
	for pin, n := range pinsNow {
		require.LessOrEqual(t, n, max(1, pins[pin]), args...)
	}
}
