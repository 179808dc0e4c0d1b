package console

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console/finding"
)

// slot is a place in a tree that can be set or taken away.
type slot struct {
	is   any
	set  func(any)
	away func()
}

func slots(at any) []slot {
	var all []slot
	switch at := at.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(at)) {
			all = append(all, slot{at[key], func(v any) { at[key] = v }, func() { delete(at, key) }})
			all = append(all, slots(at[key])...)
		}
	case []any:
		for i := range at {
			all = append(all, slot{at[i], func(v any) { at[i] = v }, func() { at[i] = []any{} }})
			all = append(all, slots(at[i])...)
		}
	}
	return all
}

// However the parts of an instrument file are exchanged and torn out, the
// loader gives an error, or an instrument that bears everything done with one.
func TestMutilatedFilesAreBrokenOrBearUse(t *testing.T) {
	whole, err := json.Marshal(tree(t, everyField))
	require.NoError(t, err)
	scraps := []any{"C2..C7", "C4", "great", "choir", 0.0, 1.0, 61.0, -12.0, "all", "fold", "slider", "pedal", "", []any{}, map[string]any{}}
	sound := 0
	rapid.Check(t, func(t *rapid.T) {
		var root any
		require.NoError(t, json.Unmarshal(whole, &root))
		for range rapid.IntRange(1, 3).Draw(t, "cuts") {
			all := slots(root)
			at := all[rapid.IntRange(0, len(all)-1).Draw(t, "slot")]
			switch rapid.IntRange(0, 3).Draw(t, "cut") {
			case 0:
				at.away()
			case 1:
				at.set(rapid.SampledFrom(scraps).Draw(t, "scrap"))
			default:
				other, err := json.Marshal(all[rapid.IntRange(0, len(all)-1).Draw(t, "other")].is)
				require.NoError(t, err)
				var graft any
				require.NoError(t, json.Unmarshal(other, &graft))
				at.set(graft)
			}
		}
		data, err := json.Marshal(root)
		require.NoError(t, err)
		in, findings := Parse("f", data)
		require.Equal(t, finding.Broken(findings), in == nil)
		if in == nil {
			return
		}
		sound++
		NewSounding(in)
		var text bytes.Buffer
		require.NoError(t, WriteYAML(&text, in))
		again, findings := Parse("again", text.Bytes())
		require.NotNil(t, again, "%v\n%s", findings, text.String())
	})
	require.Positive(t, sound)
}
