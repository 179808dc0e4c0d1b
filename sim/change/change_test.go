package change_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/change"
	"trundle/sim/gen"
)

const organ = `format: 1
instrument: Saltmarsh Hall
keyboards:
  great: {kind: manual, keys: C2..C7}
  choir: {kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
  choir: {keyboard: choir, notes: C2..C8, chest: unit}
  pedal: {keyboard: pedal, notes: C2..G4, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 73}
  flute: {division: choir, family: flute, feet: 8, pipes: 73}
  bourdon: {division: pedal, family: flute, feet: 16, pipes: 44}
stops:
  great-principal-8: {name: Principal, division: great, feet: 8, rank: principal}
  choir-flute-8: {name: Flute, division: choir, feet: 8, rank: flute}
  pedal-subbass-16: {name: Subbass, division: pedal, feet: 16, rank: bourdon}
couplers:
  choir-to-great-8: {name: Choir to Great, division: choir, keyboard: great}
  great-to-pedal-8: {name: Great to Pedal, division: great, keyboard: pedal, carries: all}
  choir-octave: {name: Choir Octave, division: choir, shift: 12}
  choir-unison-off: {name: Unison Off, silences: choir}
ventils:
  reeds-on: {name: Reeds, admits: [flute]}
`

func load(t *testing.T, text string) *console.Instrument {
	t.Helper()
	path := filepath.Join(t.TempDir(), "organ.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	in, found := console.Load(path)
	require.NotNil(t, in, "%v", found)
	return in
}

// What each change must be heard as was worked out by hand from the definition
// of what sounds.
func TestCompare(t *testing.T) {
	for name, c := range map[string]struct {
		replace []string
		want    []change.Difference
	}{
		"nothing":    {nil, nil},
		"names only": {[]string{"Saltmarsh Hall", "Saltmarsh Chapel", "name: Principal", "name: Open Diapason", "name: Choir to Great", "name: C to G"}, nil},
		"a stop an octave higher": {
			[]string{"great-principal-8: {name: Principal, division: great, feet: 8", "great-principal-8: {name: Principal, division: great, feet: 4"},
			[]change.Difference{{What: change.Changed, Kind: "stop", ID: "great-principal-8", Name: "Principal", Count: 61, Example: &change.Example{
				Draw: []string{"great-principal-8"}, Play: []string{"great:C2"}, Before: []string{"principal:1"}, After: []string{"principal:13"}}}}},
		"a stop added": {
			[]string{"couplers:", "  choir-flute-4: {name: Flute, division: choir, feet: 4, rank: flute, above: silent}\ncouplers:"},
			[]change.Difference{{What: change.Added, Kind: "stop", ID: "choir-flute-4", Name: "Flute", Count: 61, Example: &change.Example{
				Draw: []string{"choir-flute-4"}, Play: []string{"choir:C2"}, Before: []string{}, After: []string{"flute:13"}}}}},
		"a stop taken away": {
			[]string{"  choir-flute-8: {name: Flute, division: choir, feet: 8, rank: flute}\n", ""},
			[]change.Difference{{What: change.Removed, Kind: "stop", ID: "choir-flute-8", Name: "Flute", Count: 73, Example: &change.Example{
				Draw: []string{"choir-flute-8"}, Play: []string{"choir:C2"}, Before: []string{"flute:1"}, After: []string{}}}}},
		"a coupler moved to other keys, with a key of either": {
			[]string{"choir-to-great-8: {name: Choir to Great, division: choir, keyboard: great}", "choir-to-great-8: {name: Choir to Great, division: choir, keyboard: pedal}"},
			[]change.Difference{{What: change.Changed, Kind: "coupler", ID: "choir-to-great-8", Name: "Choir to Great", Count: 61,
				Example: &change.Example{Draw: []string{"choir-flute-8", "choir-to-great-8"}, Play: []string{"great:C2"}, Before: []string{"flute:1"}, After: []string{}},
				Also:    &change.Example{Draw: []string{"choir-flute-8", "choir-to-great-8"}, Play: []string{"pedal:C2"}, Before: []string{}, After: []string{"flute:1"}}}}},
		"a unison off moved to another division, with a key of either": {
			[]string{"silences: choir", "silences: great"},
			[]change.Difference{{What: change.Changed, Kind: "unison-off", ID: "choir-unison-off", Name: "Unison Off", Count: 61 + 61,
				Example: &change.Example{Draw: []string{"great-principal-8", "choir-unison-off"}, Play: []string{"great:C2"}, Before: []string{"principal:1"}, After: []string{}},
				Also:    &change.Example{Draw: []string{"choir-flute-8", "choir-unison-off"}, Play: []string{"choir:C2"}, Before: []string{}, After: []string{"flute:1"}}}}},
		"a coupler that does not carry any more": {
			[]string{", carries: all", ""},
			[]change.Difference{{What: change.Changed, Kind: "coupler", ID: "great-to-pedal-8", Name: "Great to Pedal", Count: 32, Example: &change.Example{
				Draw: []string{"choir-flute-8", "choir-to-great-8", "great-to-pedal-8"}, Play: []string{"pedal:C2"}, Before: []string{"flute:1"}, After: []string{}}}}},
		"a coupler an octave higher, of which the lowest octave is missed first": {
			[]string{"great-to-pedal-8: {", "great-to-pedal-8: {shift: 12, "},
			[]change.Difference{{What: change.Changed, Kind: "coupler", ID: "great-to-pedal-8", Name: "Great to Pedal", Count: 88, Example: &change.Example{
				Draw: []string{"great-principal-8", "great-to-pedal-8"}, Play: []string{"pedal:C2"}, Before: []string{"principal:1"}, After: []string{"principal:13"}}}}},
		"a unison off that cuts the couplers too": {
			[]string{"silences: choir}", "silences: choir, cuts: line}"},
			[]change.Difference{{What: change.Changed, Kind: "unison-off", ID: "choir-unison-off", Name: "Unison Off", Count: 61, Example: &change.Example{
				Draw: []string{"choir-flute-8", "choir-to-great-8", "choir-unison-off"}, Play: []string{"great:C2"}, Before: []string{"flute:1"}, After: []string{}}}}},
		"two couplers, of which what they do together follows": {
			[]string{"great-to-pedal-8: {", "great-to-pedal-8: {shift: 12, ", "choir-to-great-8: {", "choir-to-great-8: {shift: 12, "},
			[]change.Difference{
				{What: change.Changed, Kind: "coupler", ID: "great-to-pedal-8", Name: "Great to Pedal", Count: 44, Example: &change.Example{
					Draw: []string{"great-principal-8", "great-to-pedal-8"}, Play: []string{"pedal:C2"}, Before: []string{"principal:1"}, After: []string{"principal:13"}}},
				{What: change.Changed, Kind: "coupler", ID: "choir-to-great-8", Name: "Choir to Great", Count: 73, Example: &change.Example{
					Draw: []string{"choir-flute-8", "choir-to-great-8"}, Play: []string{"great:C2"}, Before: []string{"flute:1"}, After: []string{"flute:13"}}}}},
		// Choir to Great loses its top octave, C6..C7. That the pedal reaches the Choir an octave higher follows from Great to Pedal.
		"what two changed couplers do together follows from each": {
			[]string{"great-to-pedal-8: {", "great-to-pedal-8: {shift: 12, ", "choir-to-great-8: {", "choir-to-great-8: {keys: C2..B5, "},
			[]change.Difference{
				{What: change.Changed, Kind: "coupler", ID: "great-to-pedal-8", Name: "Great to Pedal", Count: 44, Example: &change.Example{
					Draw: []string{"great-principal-8", "great-to-pedal-8"}, Play: []string{"pedal:C2"}, Before: []string{"principal:1"}, After: []string{"principal:13"}}},
				{What: change.Changed, Kind: "coupler", ID: "choir-to-great-8", Name: "Choir to Great", Count: 13, Example: &change.Example{
					Draw: []string{"choir-flute-8", "choir-to-great-8"}, Play: []string{"great:C6"}, Before: []string{"flute:49"}, After: []string{}}}}},
		// Great to Pedal does not carry any more: alone it sounds as before, the pedal's 32 notes miss the Choir only through Choir to Great.
		"what two changed couplers do together, and one not alone": {
			[]string{", carries: all", "", "choir-to-great-8: {", "choir-to-great-8: {keys: C2..B5, "},
			[]change.Difference{
				{What: change.Changed, Kind: "coupler", ID: "choir-to-great-8", Name: "Choir to Great", Count: 13, Example: &change.Example{
					Draw: []string{"choir-flute-8", "choir-to-great-8"}, Play: []string{"great:C6"}, Before: []string{"flute:49"}, After: []string{}}},
				{What: change.Changed, Kind: "combination", Name: "choir-to-great-8 with great-to-pedal-8", Count: 32, Example: &change.Example{
					Draw: []string{"choir-flute-8", "choir-to-great-8", "great-to-pedal-8"}, Play: []string{"pedal:C2"}, Before: []string{"flute:1"}, After: []string{}}}}},
		"a second contact that nothing reads": {[]string{"great: {kind: manual, keys: C2..C7}", "great: {kind: manual, keys: C2..C7, touches: 2}"}, nil},
		"a take that ends a note lower": {
			[]string{"pedal-subbass-16: {name: Subbass, division: pedal, feet: 16, rank: bourdon}", "pedal-subbass-16: {name: Subbass, division: pedal, feet: 16, takes: [{rank: bourdon, notes: C2..F#4}]}"},
			[]change.Difference{{What: change.Changed, Kind: "stop", ID: "pedal-subbass-16", Name: "Subbass", Count: 1, Example: &change.Example{
				Draw: []string{"pedal-subbass-16"}, Play: []string{"pedal:G4"}, Before: []string{"bourdon:32"}, After: []string{}}}}},
		"two keys fewer": {
			[]string{"pedal: {kind: pedal, keys: C2..G4}", "pedal: {kind: pedal, keys: C2..F4}"},
			[]change.Difference{{What: change.Changed, Kind: "keys", ID: "pedal", Count: 6, Example: &change.Example{
				Draw: []string{"pedal-subbass-16"}, Play: []string{"pedal:F#4"}, Before: []string{"bourdon:31"}, After: []string{}}}}},
		"a ventil that works another rank": {
			[]string{"admits: [flute]", "admits: [bourdon]"},
			[]change.Difference{{What: change.Changed, Kind: "ventil", ID: "reeds-on", Name: "Reeds", Detail: "now admits bourdon, before admits flute"}}},
		"a rank of another footage, whose stop follows": { // the stop's shift makes up for it: the pipe above sounds as high as before
			[]string{"principal, feet: 8, pipes: 73", "principal, feet: 16, pipes: 73"},
			[]change.Difference{
				{What: change.Changed, Kind: "stop", ID: "great-principal-8", Name: "Principal", Count: 61, Example: &change.Example{
					Draw: []string{"great-principal-8"}, Play: []string{"great:C2"}, Before: []string{"principal:1"}, After: []string{"principal:13"}}},
				{What: change.Changed, Kind: "rank", ID: "principal", Name: "principal", Count: 73, Detail: "the pipe of C2 (principal:1) was pipes 65.41 Hz, now pipes 32.70 Hz"}}},
	} {
		t.Run(name, func(t *testing.T) {
			text := organ
			for i := 0; i < len(c.replace); i += 2 {
				require.Contains(t, text, c.replace[i])
				text = strings.Replace(text, c.replace[i], c.replace[i+1], 1)
			}
			result := change.Compare(load(t, organ), load(t, text))
			var sounding []change.Difference
			for _, d := range result.Differences {
				if d.Example != nil || d.Detail != "" {
					sounding = append(sounding, d)
				}
			}
			require.Equal(t, c.want, sounding)
			want := change.Different
			if c.want == nil {
				want = change.Equal
			}
			require.Equal(t, want, result.Verdict)
		})
	}
}

// A rank of an octave: the key above it folds back to the pipe of the key
// below, so an octave coupler adds nothing to it, but where the unison off
// takes the key itself away.
func TestWhatIsHiddenInTheSmallestStateIsFound(t *testing.T) {
	text := func(shift, off string) string {
		return `format: 1
keyboards:
  choir: {kind: manual, keys: C2..C3}
divisions:
  choir: {keyboard: choir, notes: C2..C3, chest: unit}
ranks:
  flute: {division: choir, family: flute, feet: 8, pipes: 12}
stops:
  choir-flute-8: {name: Flute, division: choir, feet: 8, rank: flute, above: fold}
couplers:
  choir-octave: {name: Octave, division: choir, shift: 12, keys: ` + shift + `}
` + off
	}
	off := "  choir-off: {name: Unison Off, silences: choir}\n"
	result := change.Compare(load(t, text("C2..C3", off)), load(t, text("C3..C3", off)))
	require.Equal(t, []change.Difference{{What: change.Changed, Kind: "coupler", ID: "choir-octave", Name: "Octave", Count: 1, Example: &change.Example{
		Draw: []string{"choir-flute-8", "choir-octave", "choir-off"}, Play: []string{"choir:C2"}, Before: []string{"flute:1"}, After: []string{}}}}, result.Differences)
	require.Equal(t, change.Equal, change.Compare(load(t, text("C2..C3", "")), load(t, text("C3..C3", ""))).Verdict)
}

func TestTwoLargeInstrumentsAreComparedInASecond(t *testing.T) {
	old, new := gen.Instrument(1, gen.Large), gen.Instrument(1, gen.Large)
	begun := time.Now()
	require.Equal(t, change.Equal, change.Compare(old, new).Verdict)
	same := time.Since(begun)
	new.Stops[3].Takes[0].Shift++
	new.Couplers[5].Shift--
	begun = time.Now()
	result := change.Compare(old, new)
	require.Equal(t, change.Different, result.Verdict)
	t.Logf("%d valves: the same in %v, different in %v: %d differences", old.Valves, same, time.Since(begun), len(result.Differences))
}
