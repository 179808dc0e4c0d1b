package wiring_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The large setting: about 17,000 valves.
func BenchmarkLarge(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	dir := b.TempDir()
	require.NoError(b, gen.Relay(1, in, gen.Options{Cables: true, Strips: true, Wired: true}).Write(dir))
	relay := filepath.Join(dir, gen.RelayFile)
	r, found := wiring.Load(relay, in)
	require.NotNil(b, r, "%v", found)

	b.Run("Load", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			wiring.Load(relay, in)
		}
	})
	b.Run("Check", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if found := wiring.Check(r, in); len(found) > 0 {
				b.Fatal(found)
			}
		}
	})
	b.Run("Derive", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			wiring.Derive(r, in)
		}
	})
}
