package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

// The loaders of a relay list the fields of each thing where they read it: the
// schema has the same ones, under the same noun.
func TestTheRelaySchemaNamesTheFieldsThatAreRead(t *testing.T) {
	var schema struct {
		Defs map[string]struct{ Properties map[string]any } `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(wiring.Schema, &schema))
	of := map[string]string{"a board": "board", "a strip": "strip", "a cable": "cable", "a waiver": "waiver", "what is electrical": "electrical", "a supply": "supply",
		"a fuse": "fuse", "a class of magnets": "magnet", "a return": "return", "a feed": "feed", "a scan": "scan", "a link": "link", "a place": "place"}
	read := map[string][]string{"a board": wiring.BoardFields, "a cable": wiring.CableFields}
	for _, dir := range []string{"../../sim/wiring", "../../sim/circuit", "../../sim/contact"} {
		for noun, fields := range fieldLiterals(t, dir) {
			read[noun] = fields
		}
	}
	for noun, def := range of {
		require.ElementsMatch(t, read[noun], slices.Collect(maps.Keys(schema.Defs[def].Properties)), noun)
	}
	for noun := range read {
		require.Contains(t, append(slices.Collect(maps.Keys(of)), "volts", "a file of waivers", "a list of diodes"), noun, "the schema may lack it")
	}
}

// fieldLiterals are the lists of fields in calls of Fields, by what has them.
func fieldLiterals(t *testing.T, dir string) map[string][]string {
	lists := map[string][]string{}
	files, err := filepath.Glob(dir + "/*.go")
	require.NoError(t, err)
	for _, path := range files {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			call, is := n.(*ast.CallExpr)
			if !is || len(call.Args) != 3 {
				return true
			}
			noun, named := call.Args[1].(*ast.BasicLit)
			list, listed := call.Args[2].(*ast.CompositeLit)
			if !named || !listed || noun.Kind != token.STRING {
				return true
			}
			var fields []string
			for _, e := range list.Elts {
				if word, is := e.(*ast.BasicLit); is {
					fields = append(fields, strings.Trim(word.Value, `"`))
				}
			}
			lists[strings.Trim(noun.Value, `"`)] = fields
			return true
		})
	}
	return lists
}

// An empty table is its header.
func TestTheSheetsNameTheColumnsThatAreWritten(t *testing.T) {
	in, relay := &console.Instrument{}, &wiring.Relay{}
	for kind, write := range map[string]func(*bytes.Buffer) error{
		"wiring":    func(b *bytes.Buffer) error { return wiring.WriteWiring(b, relay, in, nil) },
		"joins":     func(b *bytes.Buffer) error { return wiring.WriteJoins(b, relay, nil) },
		"switching": func(b *bytes.Buffer) error { return wiring.WriteSwitching(b, relay, nil) },
	} {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		header := strings.TrimSpace(b.String())
		require.Equal(t, header, strings.Join(firsts(sheets[kind].columns), ","))
		require.True(t, strings.HasPrefix(sheets[kind].example, header+"\n"), kind)
	}
}

func TestTheWiringSheetNamesEveryKind(t *testing.T) {
	source, err := os.ReadFile("../../sim/wiring/relay.go")
	require.NoError(t, err)
	var kinds []string
	for _, m := range regexp.MustCompile(`Kind +Kind = "([a-z0-9-]+)"`).FindAllSubmatch(source, -1) {
		kinds = append(kinds, string(m[1]))
	}
	require.Greater(t, len(kinds), 20)
	require.ElementsMatch(t, kinds, firsts(sheets["wiring"].words))
}

func firsts(rows [][2]string) (list []string) {
	for _, row := range rows {
		list = append(list, row[0])
	}
	return list
}

// What a schema says holds without a field is what the loader takes: an instrument
// that says so is the same as one that is silent.
func TestTheDefaultsOfTheSchemaAreTheLoaders(t *testing.T) {
	const organ = "format: 1\nkeyboards: {manual: {kind: manual, keys: C2..C4%s}}\ndivisions: {manual: {keyboard: manual, notes: C2..C4, chest: unit}}\n" +
		"boxes: {swell: {stages: 4%s}}\nranks: {flute: {division: manual, feet: 8, pipes: 25%s}}\nstops: {flute: {division: manual, feet: 8, rank: flute%s}}\n" +
		"couplers:\n  octave: {division: manual%s}\n  off: {silences: manual%s}\ncombination: {%s}\n"
	read := func(place int, text string) *console.Instrument {
		parts := make([]any, 7)
		for i := range parts {
			parts[i] = ""
		}
		parts[6] = "buttons: {}"
		if text != "" {
			text = ", " + text
		}
		parts[place] = parts[place].(string) + text
		in, found := console.Parse("organ.yaml", fmt.Appendf(nil, organ, parts...))
		require.NotNil(t, in, "%v", found)
		return in
	}
	var schema struct {
		Defs map[string]struct {
			Properties map[string]struct{ Default any }
			Default    any
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(console.Schema, &schema))
	for place, def := range []string{"keyboard", "box", "rank", "stop", "coupler", "unison-off", "combination"} {
		for field, p := range schema.Defs[def].Properties {
			otherwise := p.Default
			switch field {
			case "touch", "style":
				otherwise = schema.Defs[field].Default
			case "code", "rest", "end", "travel": // kept as not given, and read so by who needs them
				continue
			}
			if otherwise != nil {
				require.Equal(t, read(place, ""), read(place, fmt.Sprintf("%s: %v", field, otherwise)), "%s of %s", field, def)
			}
		}
	}
}
