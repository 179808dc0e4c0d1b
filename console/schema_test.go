package console

import (
	"bytes"
	"encoding/json"
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

const everyField = "testdata/everything.yaml"

// value is a node as an editor's YAML reader hands it to a schema.
func value(n *yamldoc.Node) any {
	switch n.Kind {
	case yamldoc.List:
		list := []any{}
		for _, item := range n.Items {
			list = append(list, value(item))
		}
		return list
	case yamldoc.Map:
		entries := map[string]any{}
		for _, p := range n.Pairs {
			entries[p.Key.Text] = value(p.Value)
		}
		return entries
	}
	var scalar any
	if json.Unmarshal([]byte(n.Text), &scalar) == nil && n.Text[0] != '"' {
		return scalar // a number, true or false
	}
	return n.Text
}

func tree(t *testing.T, path string) any {
	t.Helper()
	root, source := yamldoc.Load(path)
	require.Empty(t, source.Findings, path)
	return value(root)
}

func TestSchemaAndLoaderKnowTheSameFields(t *testing.T) {
	s := loadSchema(t)
	for kind, fields := range fieldsOf {
		properties, _ := s.defs[kind].(map[string]any)["properties"].(map[string]any)
		require.ElementsMatch(t, fields, slices.Collect(maps.Keys(properties)), kind)
	}
}

func TestTheExampleUsesEveryFieldAndSatisfiesSchemaAndLoader(t *testing.T) {
	s := loadSchema(t)
	require.Empty(t, s.faults(tree(t, everyField)))
	require.Empty(t, s.faults(tree(t, "testdata/rules/stage-adds.yaml"))) // stages, where the other has sequences
	for kind, fields := range fieldsOf {
		for _, field := range fields {
			require.True(t, s.used[kind+"."+field], "%s.%s", kind, field)
		}
	}
	in, findings := Load(everyField)
	require.Empty(t, findings)
	require.NotNil(t, in)
}

func TestWhatLoadsSatisfiesTheSchema(t *testing.T) {
	s := loadSchema(t)
	loaded := 0
	for _, pattern := range []string{"testdata/*.yaml", "testdata/*/*.yaml", "../cmd/trundle/examples/*/organ.yaml"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, path := range paths {
			if _, findings := Load(path); finding.Broken(findings) {
				continue
			}
			require.Empty(t, s.faults(tree(t, path)), path)
			loaded++
		}
	}
	require.GreaterOrEqual(t, loaded, 10)
}

// Every map of the example with a stranger in it, and every value of it
// replaced by one of no use, is refused by the loader and by the schema alike.
func TestSchemaAndLoaderRefuseTheSame(t *testing.T) {
	s := loadSchema(t)
	root := tree(t, everyField)
	delete(root.(map[string]any), "midi") // holds anything
	tried := 0
	spoil(root, "", func(where string) {
		tried++
		data, err := json.Marshal(root)
		require.NoError(t, err)
		_, findings := Parse("f", data)
		require.True(t, finding.Broken(findings), "loader: %s", where)
		require.NotEmpty(t, s.faults(root), "schema: %s", where)
	})
	require.Greater(t, tried, 300)
}

// useless is a value that no field has.
var useless = []any{[]any{[]any{[]any{}}}}

// spoil makes one change at a time anywhere in a tree, and takes it back.
func spoil(at any, where string, changed func(where string)) {
	switch at := at.(type) {
	case map[string]any:
		at["Stranger!"] = useless
		changed(where + ".Stranger!")
		delete(at, "Stranger!")
		for key, is := range at {
			at[key] = useless
			changed(where + "." + key)
			at[key] = is
			spoil(is, where+"."+key, changed)
		}
	case []any:
		for i, is := range at {
			at[i] = useless
			changed(where + "[]")
			at[i] = is
			spoil(is, where+"[]", changed)
		}
	}
}

func TestJSONOfTheSameShapeIsTheSameInstrument(t *testing.T) {
	root, _ := yamldoc.Load(everyField)
	data := jsonInOrder(t, root)
	require.True(t, json.Valid(data))
	fromJSON, findings := Parse("organ.json", data)
	require.Empty(t, findings)
	fromYAML, _ := Load(everyField)
	var a, b bytes.Buffer
	require.NoError(t, WriteYAML(&a, fromYAML))
	require.NoError(t, WriteYAML(&b, fromJSON))
	require.Equal(t, a.String(), b.String())
}

// jsonInOrder writes a tree as JSON with its maps in their order.
func jsonInOrder(t *testing.T, n *yamldoc.Node) []byte {
	var out []byte
	switch n.Kind {
	case yamldoc.List:
		for i, item := range n.Items {
			out = append(append(out, "[,"[min(i, 1)]), jsonInOrder(t, item)...)
		}
		if len(n.Items) == 0 {
			out = append(out, '[')
		}
		return append(out, ']')
	case yamldoc.Map:
		for i, p := range n.Pairs {
			key, err := json.Marshal(p.Key.Text)
			require.NoError(t, err)
			out = append(append(append(append(out, "{,"[min(i, 1)]), key...), ':'), jsonInOrder(t, p.Value)...)
		}
		return append(out, '}')
	}
	out, err := json.Marshal(value(n))
	require.NoError(t, err)
	return out
}
