package yamldoc_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

func fields(t *testing.T, text string, known ...string) (yamldoc.Fields, *yamldoc.Source) {
	t.Helper()
	root, source := yamldoc.Parse("f", []byte(text))
	return source.Fields(root, "a thing", known), source
}

func TestFieldsAreTakenByType(t *testing.T) {
	f, source := fields(t, "pins: 012\nvolts: -1.5\nlive: true\nkind: input\nname: X\none: a\nmany: [a, b]\nby: {c: 1}\n",
		"pins", "volts", "live", "kind", "name", "one", "many", "by", "missing")
	require.Equal(t, 12, f.Int("pins", 1, 99, 0)) // decimal, as it is written
	require.Equal(t, -1.5, f.Number("volts", -5, 5, 0))
	require.True(t, f.Bool("live"))
	require.Equal(t, "input", f.Choice("kind", "", "input", "output"))
	require.Equal(t, "X", f.Text("name"))
	require.Len(t, f.Texts("one"), 1)
	require.Len(t, f.Texts("many"), 2)
	require.Len(t, f.ByID("by", yamldoc.PlainID), 1)
	require.Equal(t, 7, f.Int("missing", 1, 9, 7))
	require.Nil(t, f.Node("missing"))
	require.Empty(t, messages(source))
}

func TestFieldsOfTheWrongTypeAreSaid(t *testing.T) {
	for text, want := range map[string]string{
		"a: 0x10":       `f:1:4: a is a whole number from 1 to 9, not "0x10"`,
		"a: 1.0":        `f:1:4: a is a whole number from 1 to 9, not "1.0"`,
		"a: 10":         `f:1:4: a is a whole number from 1 to 9, not "10"`,
		"a: [1]":        `f:1:4: a is a whole number from 1 to 9, not a list`,
		"a: 1_0":        `f:1:4: a is a whole number from 1 to 9, not "1_0"`,
		"number: .inf":  `f:1:9: number is a number from 1 to 9, not ".inf"`,
		"number: 0x1p3": `f:1:9: number is a number from 1 to 9, not "0x1p3"`,
		"live: yes":     `f:1:7: live is one of true, false, not "yes"`,
		"kind: inputs":  `f:1:7: kind is one of input, output, not "inputs"`,
		"name: {}":      `f:1:7: a map stands where one value is meant`,
		"many: {a: 1}":  `f:1:7: a map stands where a list is meant`,
		"many: [[a]]":   `f:1:8: a list stands where one value is meant`,
		"by: [a]":       "f:1:5: a list stands where a map of `name: value` entries is meant",
		"by: {A b: 1}":  `f:1:6: "A b" is no id: up to 64 small letters, digits and hyphens, no hyphen first`,
		"[a]":           "f:1:1: a list stands where a map of `name: value` entries is meant",
	} {
		f, source := fields(t, text, "a", "number", "live", "kind", "name", "many", "by")
		f.Int("a", 1, 9, 1)
		f.Number("number", 1, 9, 1)
		f.Bool("live")
		f.Choice("kind", "", "input", "output")
		f.Text("name")
		f.Texts("many")
		f.ByID("by", yamldoc.PlainID)
		require.Equal(t, []string{want}, messages(source), text)
	}
}

func TestUnknownFieldsNameTheNearest(t *testing.T) {
	_, source := fields(t, "pinns: 1\nzzzzzz: 2\n", "pins", "kind")
	require.Equal(t, []string{"f:1:1: a thing has no field pinns", "f:2:1: a thing has no field zzzzzz"}, messages(source))
	require.Equal(t, "did you mean pins?", source.Findings[0].Fix)
	require.Equal(t, "it has pins, kind", source.Findings[1].Fix)
}

func TestAMissingFieldIsSaidOnceAtItsMap(t *testing.T) {
	root, source := yamldoc.Parse("f", []byte("x:\n  {b: 1}\n"))
	f := source.Fields(root.Get("x"), "a thing", []string{"a", "b"})
	require.Nil(t, f.Need("a"))
	require.NotNil(t, f.Need("b"))
	require.Equal(t, []string{"f:2:3: a thing lacks the field a"}, messages(source))
}

// What is misspelt is not missing besides, be it a letter off or more.
func TestAMisspeltFieldIsNotMissingToo(t *testing.T) {
	for _, name := range []string{"divison", "dvisoin"} {
		f, source := fields(t, name+": great\n", "division", "keyboard")
		f.Need("division")
		require.Equal(t, []string{"f:1:1: a thing has no field " + name}, messages(source))
		require.Equal(t, "did you mean division?", source.Findings[0].Fix)
		f.Need("keyboard")
		require.Equal(t, "f:1:1: a thing lacks the field keyboard", messages(source)[1])
	}
}

func TestWhatIsNoMapIsToldItsFields(t *testing.T) {
	_, source := fields(t, "- a\n", "format", "waivers")
	require.Equal(t, "write its fields as name: value; it has format, waivers", source.Findings[0].Fix)
}

func TestAnotherFormatIsARuleOfItsOwn(t *testing.T) {
	for text, rules := range map[string][]string{
		"format: 1": nil, "format: 01": nil,
		"format: 2": {finding.OtherFormat}, "format: one": {finding.OtherFormat}, "format: [1]": {finding.OtherFormat},
		"x: 1": {finding.NoMeaning},
	} {
		f, source := fields(t, text, "format", "x")
		f.Format()
		var got []string
		for _, found := range source.Findings {
			got = append(got, found.Rule)
		}
		require.Equal(t, rules, got, text)
		require.Equal(t, rules != nil, finding.Broken(source.Findings), text)
	}
}

// A file of thousands of unknown names is refused in seconds.
func TestOnlyTheFirstUnknownNamesComeWithTheNearest(t *testing.T) {
	s := &yamldoc.Source{File: "f"}
	for range 101 {
		s.Unknown(nil, "rank", "flutte", []string{"principal", "flute"})
	}
	require.Equal(t, "did you mean flute?", s.Findings[99].Fix)
	require.Empty(t, s.Findings[100].Fix)
}
