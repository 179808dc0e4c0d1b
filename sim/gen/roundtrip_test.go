package gen

import (
	"bytes"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
)

func TestWrittenInstrumentsReadBackTheSame(t *testing.T) {
	sizes := map[string]Size{"tiny": Tiny, "small": Small, "large": Large, "eighth": Scaled(0.125), "twice": Scaled(2)}
	for name, size := range sizes {
		for seed := range uint64(12) {
			in := Instrument(seed, size)
			var file bytes.Buffer
			require.NoError(t, console.WriteYAML(&file, in))
			got, found := console.Parse("organ.yaml", file.Bytes())
			for _, f := range found {
				require.NotEqual(t, finding.Error, f.Severity, "%s %d: %s", name, seed, f.Message)
			}
			bare(reflect.ValueOf(got).Elem())
			bare(reflect.ValueOf(in).Elem())
			got.File = ""
			require.Equal(t, in, got, "%s %d", name, seed)
		}
	}
}

// bare takes the places out of a value, and what tells an empty slice from none.
func bare(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			bare(v.Elem())
		}
	case reflect.Slice:
		if v.Len() == 0 {
			v.SetZero()
		}
		for i := range v.Len() {
			bare(v.Index(i))
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[finding.Place]() {
			v.SetZero()
			return
		}
		for i := range v.NumField() {
			bare(v.Field(i))
		}
	}
}
