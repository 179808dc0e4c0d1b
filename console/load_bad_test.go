package console_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/gen"
)

// Files that are no instrument at all; what is wrong within one is in the
// fixtures.
func TestBadFilesGiveNoInstrument(t *testing.T) {
	bomb := "format: 1\nkeyboards: &a {m: {kind: manual, keys: C2..C7}}\n"
	for _, line := range []string{"boxes: &b [*a, *a, *a, *a]", "chests: &c [*b, *b, *b, *b]", "ranks: &d [*c, *c, *c, *c]", "stops: [*d, *d, *d, *d]"} {
		bomb += line + "\n"
	}
	const head = "format: 1\nkeyboards: {m: {kind: manual, keys: C2..C7}}\n"
	for name, c := range map[string]struct{ text, want string }{
		"empty":               {"", "f: is empty"},
		"binary":              {"\x7fELF\x02\x01\x01\x00", "f:1:1: the control character U+007F"},
		"a text":              {"organ\n", "f:1:1: a value stands where a map"},
		"a list":              {"- great\n- choir\n", "f:1:1: a list stands where a map"},
		"huge":                {strings.Repeat("# nothing\n", 10<<20), "f: is larger than"},
		"deeply nested":       {head + "midi: " + strings.Repeat("[", 10_000), "f:3:71: exceeded max depth"},
		"an alias bomb":       {bomb, "f:2:12: an anchor (&a)"},
		"a second document":   {head + "---\n" + head, "f:3:1: a second document begins here"},
		"a tag":               {head + "stops: !!set {a, b}\n", "f:3:8: a tag (!!set)"},
		"a null id":           {head + "boxes: {null: {stages: 8}}\n", "f:3:9: \"null\" means nothing at all"},
		"a duplicate id":      {head + "boxes: {a: {stages: 8}, a: {stages: 8}}\n", "f:3:25: a stands here a second time"},
		"a note out of range": {head + "divides: {d: {keyboard: m, split: C11}}\n", "f:3:35: \"C11\" is no note"},
		"a backward range":    {"format: 1\nkeyboards: {m: {kind: manual, keys: C7..C2}}\n", "f:2:37: C7..C2 runs backwards"},
		"a relay":             {"format: 1\nboards: {X1: {kind: output, pins: 61}}\nwiring: [wiring.csv]\n", "f:1:1: this is the file of a relay"},
		"another format":      {"format: 2\nconsole: [great]\n", "f:1:9: this program reads format 1, not \"2\""},
		"no format":           {"keyboards: {m: {kind: manual, keys: C2..C7}}\n", "f:1:1: an instrument file lacks the field format"},
		"empty keyboards":     {"format: 1\nkeyboards: {}\n", "f:2:12: keyboards names no keyboard"},
		"no keyboards":        {"format: 1\n", "f:1:1: an instrument file lacks the field keyboards"},
	} {
		in, findings := console.Parse("f", []byte(c.text))
		require.Nil(t, in, name)
		require.True(t, finding.Broken(findings), name)
		require.True(t, strings.HasPrefix(findings[0].Place.String()+": "+findings[0].Message, c.want), "%s: %s: %s", name, findings[0].Place, findings[0].Message)
		for _, f := range findings {
			require.Equal(t, finding.Error, f.Severity, name)
		}
	}
	_, findings := console.Parse("f", []byte("format: 2\nconsole: [great]\n"))
	require.Len(t, findings, 1, "of another format nothing else is said")
}

// What an entry is shows in a field of it, and does so misspelt.
func TestAMisspeltSilencesIsOneMistake(t *testing.T) {
	for _, word := range []string{"silence", "slience", "silneces"} {
		_, findings := console.Parse("organ.yaml", []byte(`format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
couplers: {off: {name: Unison Off, `+word+`: great}}
`))
		require.Len(t, findings, 1, "%s: %v", word, findings)
		require.Equal(t, "a unison off has no field "+word, findings[0].Message)
		require.Equal(t, "did you mean silences?", findings[0].Fix)
	}
}

// A footage that is given but cannot be read is not missing as well.
func TestAFootageThatCannotBeReadIsOneMistake(t *testing.T) {
	const organ = `
format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, feet: 8, pipes: 61}}
stops: {flute: `
	for stop, want := range map[string]string{
		"{division: great, feet: x, rank: flute}":                     `"x" is no footage`,
		"{division: great, feet: x, takes: [{rank: flute}]}":          `"x" is no footage`,
		"{division: great, feet: 8, takes: [{rank: flute, feet: x}]}": `"x" is no footage`,
		"{division: great, feet: [8], takes: [{rank: flute}]}":        "a list stands where one value",
		"{division: great, takes: [{rank: flute, feet: [8]}]}":        "a list stands where one value",
		"{division: great, rank: flute}":                              "no footage says how",
		"{division: great, takes: [{rank: flute, notes: C2..C3}]}":    "no footage says how",
	} {
		_, findings := console.Parse("organ.yaml", []byte(organ+stop+"}\n"))
		require.Len(t, findings, 1, "%s: %v", stop, findings)
		require.Contains(t, findings[0].Message, want)
	}
}

func TestPathsThatAreNoFileGiveNoInstrument(t *testing.T) {
	for _, path := range []string{t.TempDir(), filepath.Join(t.TempDir(), "organ.yaml")} {
		in, findings := console.Load(path)
		require.Nil(t, in)
		require.Len(t, findings, 1)
		require.Equal(t, path, findings[0].Place.String())
	}
}

// Any bytes give an instrument or an error; an instrument bears its rules,
// and is written and read again as the same.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "testdata/*/*.yaml"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, path := range paths {
			data, err := os.ReadFile(path)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		in, findings := console.Parse("f", data)
		if in == nil {
			require.True(t, finding.Broken(findings))
			return
		}
		require.False(t, finding.Broken(findings))
		var text bytes.Buffer
		require.NoError(t, console.WriteYAML(&text, in))
		again, findings := console.Parse("again", text.Bytes())
		for _, f := range findings {
			require.NotEqual(t, finding.NoMeaning, f.Rule, "%s: %s\n%s", f.Place, f.Message, text.String())
		}
		require.NotNil(t, again, "%v", findings)
		require.Equal(t, in.Valves, again.Valves)
	})
}

// A key runs away exactly when some walk over couplers that carry all comes
// back to its keyboard at another height.
func TestRunawayCouplersAreThoseThatComeBackElsewhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keyboards := rapid.IntRange(1, 4).Draw(t, "keyboards")
		in := &console.Instrument{}
		for k := range keyboards {
			in.Keyboards = append(in.Keyboards, console.Keyboard{})
			in.Divisions = append(in.Divisions, console.Division{Keyboard: k})
		}
		for range rapid.IntRange(0, 7).Draw(t, "couplers") {
			from, to := rapid.IntRange(0, keyboards-1).Draw(t, "from"), rapid.IntRange(0, keyboards-1).Draw(t, "to")
			if from != to {
				shift := 12 * rapid.IntRange(-1, 1).Draw(t, "shift")
				in.Couplers = append(in.Couplers, console.Coupler{Keyboard: from, Division: to, Shift: shift, Carries: console.CarriesAll})
			}
		}
		type place struct{ keyboard, height int }
		runs := false
		for root := range keyboards {
			reached := map[place]bool{{root, 0}: true}
			for range keyboards { // a ring through a keyboard has at most one coupler from each
				for at := range reached {
					for _, c := range in.Couplers {
						if c.Keyboard == at.keyboard {
							reached[place{c.Division, at.height + c.Shift}] = true
						}
					}
				}
			}
			for at := range reached {
				runs = runs || at.keyboard == root && at.height != 0
			}
		}
		found := 0
		for _, f := range in.Check() {
			if f.Rule == "runaway-coupler" {
				found++
				require.NotContains(t, f.Message, "sum to 0")
			}
		}
		require.Equal(t, runs, found > 0)
	})
}

// large is the text of an instrument of 250 stops and 240 ranks.
func large(tb testing.TB) []byte {
	var text bytes.Buffer
	require.NoError(tb, console.WriteYAML(&text, gen.Instrument(1, gen.Large)))
	return text.Bytes()
}

func TestALargeInstrumentHasMeaning(t *testing.T) {
	in, findings := console.Parse("large.yaml", large(t))
	require.NotNil(t, in)
	require.False(t, finding.Broken(findings))
	require.Len(t, in.Stops, 250)
	require.Len(t, in.Ranks, 240)
}

func BenchmarkParse(b *testing.B) {
	data := large(b)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		in, _ := console.Parse("large.yaml", data)
		if in == nil {
			b.Fatal("broken")
		}
	}
}

func BenchmarkParseTreeOnly(b *testing.B) {
	data := large(b)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if root, _ := yamldoc.Parse("large.yaml", data); root == nil {
			b.Fatal("broken")
		}
	}
}

// One slip is told once: what else is unknown by it alone is not told, and no name
// that was refused is offered.
func TestWhatOnlyFollowsFromASlipIsNotTold(t *testing.T) {
	const organ = `format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, feet: 8, pipes: 61}}
boxes: {box: {stages: 8}}
stops: {flute-8: {division: great, feet: 8, rank: flute}}
couplers: {octave: {division: great, shift: 12}}
shoes: {roll: {drives: crescendo}}
crescendo: {stages: [[flute-8], [octave]]}
tutti: [flute-8]
`
	for _, c := range []struct{ name, was, is, message, fix string }{
		{"an id in capitals", "{flute-8: {", "{Flute-8: {", `"Flute-8" is no id`, "write it flute-8"},
		{"an id with another sign", "{octave: {", "{octave_: {", `"octave_" is no id`, "write it octave"},
		{"an id of other letters", "roll:", "röll:", `"röll" is no id`, ""},
		{"a heading nearly right", "stops: {", "stop: {", "an instrument file has no field stop", "did you mean stops?"},
		{"a heading of another word", "stops: {", "registers: {", "an instrument file has no field registers", "it has format"},
		{"a needed heading", "keyboards: {", "keybords: {", "an instrument file has no field keybords", "did you mean keyboards?"},
		{"a field of an entry", "{division: great, feet: 8, rank: flute}", "{divison: great, feet: 8, rank: flute}", "a stop has no field divison", "did you mean division?"},
		{"the crescendo in capitals", "drives: crescendo", "drives: Crescendo", "no box Crescendo", "did you mean crescendo?"},
	} {
		require.Contains(t, organ, c.was, c.name)
		_, findings := console.Parse("organ.yaml", []byte(strings.Replace(organ, c.was, c.is, 1)))
		require.Len(t, findings, 1, "%s: %v", c.name, findings)
		require.Contains(t, findings[0].Message, c.message, c.name)
		require.True(t, strings.HasPrefix(findings[0].Fix, c.fix) && (c.fix != "" || findings[0].Fix == ""), "%s: %s", c.name, findings[0].Fix)
	}
	_, findings := console.Parse("organ.yaml", []byte(strings.NewReplacer("{flute-8: {", "{flute_8: {", "[[flute-8]", "[[flut-8]").Replace(organ)))
	require.Len(t, findings, 2, "the slip in the crescendo is one of its own")
	require.Empty(t, findings[1].Fix, "and a refused name is not what was meant")
}

// Names in the section midi are told in the same run as what is wrong elsewhere.
func TestUnknownNamesOfTheSectionMIDIDoNotWait(t *testing.T) {
	const organ = `format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, feet: 8, pipes: 61}}
stops: {flute-8: {division: great, feet: x, rank: flute}}
midi:
  keys: {grate: channel 1}
  valves: {flute: channel 2, flut: channel 3}
  controls: {stops of great: notes from 0 on channel 16, flut-8: note 9 on channel 16, flute-8: note 10 on channel 16}
`
	_, findings := console.Parse("organ.yaml", []byte(organ))
	var told []string
	for _, f := range findings {
		told = append(told, f.Message+"; "+f.Fix)
	}
	require.Len(t, told, 4)
	require.Equal(t, []string{"no keyboard grate; did you mean great?", "no rank flut; did you mean flute?", "no control flut-8; did you mean flute-8?"}, told[1:])
	in, _ := console.Parse("organ.yaml", []byte(strings.Replace(organ, "feet: x", "feet: 8", 1)))
	require.NotNil(t, in, "of a file with a meaning the reader of the section tells them")
}
