package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// schema is a JSON Schema (draft 2020-12) file with the few keywords that
// those of this folder use; it knows no others.
type schema struct {
	Schema      string             `json:"$schema"`
	Ref         string             `json:"$ref"`
	Defs        map[string]*schema `json:"$defs"`
	Title       string             `json:"title"`
	Description string             `json:"description"`
	Type        any                `json:"type"` // a name, or a list of names
	Const       any                `json:"const"`
	Enum        []any              `json:"enum"`
	Required    []string           `json:"required"`
	Properties  map[string]*schema `json:"properties"`
	Additional  *schema            `json:"additionalProperties"`
	Items       *schema            `json:"items"`
	Minimum     *float64           `json:"minimum"`
	Maximum     *float64           `json:"maximum"`
	Pattern     string             `json:"pattern"`
}

func loadSchema(t *testing.T, name string) *schema {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("schema", name+".json"))
	require.NoError(t, err)
	decoder := json.NewDecoder(strings.NewReader(string(text)))
	decoder.DisallowUnknownFields()
	s := &schema{}
	require.NoError(t, decoder.Decode(s), "%s.json uses a keyword that this test does not know", name)
	return s
}

// requireValid holds a JSON document to a schema file. More than the schema
// itself asks, every field must be described in it.
func requireValid(t *testing.T, name, document string) {
	t.Helper()
	var value any
	require.NoError(t, json.Unmarshal([]byte(document), &value))
	root := loadSchema(t, name)
	require.Empty(t, root.faults(root, "", value))
}

func (s *schema) faults(root *schema, at string, value any) (faults []string) {
	if s.Ref != "" {
		s = root.Defs[strings.TrimPrefix(s.Ref, "#/$defs/")]
	}
	fault := func(format string, args ...any) { faults = append(faults, at+": "+fmt.Sprintf(format, args...)) }
	if s.Type != nil && !isOfType(s.Type, value) {
		fault("%v is no %v", value, s.Type)
	}
	if s.Const != nil && value != s.Const {
		fault("%v is not %v", value, s.Const)
	}
	if s.Enum != nil && !slices.Contains(s.Enum, value) {
		fault("%v is none of %v", value, s.Enum)
	}
	switch v := value.(type) {
	case float64:
		if s.Minimum != nil && v < *s.Minimum || s.Maximum != nil && v > *s.Maximum {
			fault("%v is out of range", v)
		}
	case string:
		if !regexp.MustCompile(s.Pattern).MatchString(v) {
			fault("%q does not match %s", v, s.Pattern)
		}
	case []any:
		for i, item := range v {
			faults = append(faults, s.Items.faults(root, fmt.Sprintf("%s/%d", at, i), item)...)
		}
	case map[string]any:
		for _, name := range s.Required {
			if _, ok := v[name]; !ok {
				fault("lacks %s", name)
			}
		}
		for name, field := range v {
			of := s.Properties[name]
			if of == nil {
				of = s.Additional
			}
			if of == nil {
				fault("has a field %s, which is not described", name)
				continue
			}
			faults = append(faults, of.faults(root, at+"/"+name, field)...)
		}
	}
	return faults
}

func isOfType(types, value any) bool {
	if list, ok := types.([]any); ok {
		return slices.ContainsFunc(list, func(one any) bool { return isOfType(one, value) })
	}
	switch v := value.(type) {
	case nil:
		return types == "null"
	case bool:
		return types == "boolean"
	case float64:
		return types == "number" || types == "integer" && v == float64(int64(v))
	case string:
		return types == "string"
	case []any:
		return types == "array"
	}
	return types == "object"
}

func TestJSONOutputsAreAsTheirSchemasSay(t *testing.T) {
	const organ, good, bad = "examples/saltmarsh/organ.yaml", "examples/saltmarsh/relay.yaml", "examples/saltmarsh-bad/relay.yaml"
	for name, c := range map[string]struct {
		schema string
		exit   int
		args   []string
	}{
		"nothing sounds":             {"sound", exitGood, []string{"sound", organ}},
		"much sounds":                {"sound", exitGood, []string{"sound", organ, "--tutti", "--crescendo", "12", "--play", "great:C2,C4,C7", "--play", "pedal:C2"}},
		"a bad relay sounds":         {"sound", exitBad, []string{"sound", organ, "--draw", "great-bourdon-16", "--play", "great:C#4", "--relay", bad}},
		"an instrument checked":      {"check", exitGood, []string{"check", organ}},
		"a relay that plays it":      {"check", exitGood, []string{"check", organ, "--relay", good}},
		"a relay that does not":      {"check", exitBad, []string{"check", organ, "--relay", bad}},
		"a relay that is no relay":   {"check", exitBad, []string{"check", organ, "--relay", organ}},
		"an organ that is no organ":  {"check", exitBad, []string{"check", good, "--relay", good}},
		"a net with a strip":         {"where", exitGood, []string{"where", bad, "J1.3"}},
		"a valve on no pin":          {"where", exitGood, []string{"where", bad, "oboe:20"}},
		"a pin of a derived relay":   {"where", exitGood, []string{"where", "examples/floating/relay.yaml", "X1.1"}},
		"the papers of an organ":     {"sheet", exitGood, []string{"sheet", organ}},
		"the papers with their pins": {"sheet", exitGood, []string{"sheet", organ, "--relay", good}},
		"what is heard":              {"symptoms", exitGood, []string{"listen", organ, "--relay", good, "great C#4 sounds D4"}},
		"what nothing accounts for":  {"symptoms", exitBad, []string{"listen", organ, "--relay", good, "great C#4 sounds D4; great C#4 good with great-principal-8; great-principal-8 C#4 dead"}},
		"what to play":               {"listen", exitGood, []string{"listen", organ, "--relay", good, "--wiring"}},
	} {
		t.Run(name, func(t *testing.T) {
			var stdout, stderr strings.Builder
			exit := run(append(c.args, "--format", "json"), strings.NewReader(""), &stdout, &stderr)
			require.Equal(t, c.exit, exit, stderr.String())
			require.Empty(t, stderr.String())
			requireValid(t, c.schema, stdout.String())
		})
	}
}

func TestTheSchemaTestSeesFaults(t *testing.T) {
	root := loadSchema(t, "sound")
	for document, want := range map[string]string{
		`{"schema":"trundle.sound/1","valves":[]}`:                        ": lacks pipes",
		`{"schema":"trundle.sound/2","valves":[],"pipes":0}`:              "/schema: trundle.sound/2 is not trundle.sound/1",
		`{"schema":"trundle.sound/1","valves":null,"pipes":0}`:            "/valves: <nil> is no array",
		`{"schema":"trundle.sound/1","valves":[],"pipes":-1}`:             "/pipes: -1 is out of range",
		`{"schema":"trundle.sound/1","valves":[],"pipes":0.5}`:            "/pipes: 0.5 is no integer",
		`{"schema":"trundle.sound/1","valves":[],"pipes":0,"loudness":1}`: ": has a field loudness, which is not described",
	} {
		var value any
		require.NoError(t, json.Unmarshal([]byte(document), &value))
		require.Equal(t, []string{want}, root.faults(root, "", value))
	}
}
