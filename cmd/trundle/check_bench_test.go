package main

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/gen"
)

// BenchmarkCheck checks generated organs from their files, all rules, proof
// and causes: the large one clean and with one fault of each class, and
// clean ones of once, twice, four and eight times its size, whose times are
// to grow with their sizes.
func BenchmarkCheck(b *testing.B) {
	run := func(b *testing.B, files gen.Files) {
		dir := b.TempDir()
		require.NoError(b, files.Write(dir))
		organ, relay := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "relay.yaml")
		b.ReportAllocs()
		for b.Loop() {
			c, err := check(organ, relay)
			require.NoError(b, err)
			require.NotNil(b, c.relay)
		}
	}
	in := gen.Instrument(1, gen.Large)
	clean := gen.Design(1, in, gen.AnyOptions(1))
	b.Run("clean", func(b *testing.B) { run(b, gen.FilesOf(clean, in)) })
	for _, class := range gen.Classes {
		if fault, ok := gen.Plant(1, clean, in, class); ok {
			b.Run(class, func(b *testing.B) { run(b, gen.FilesOf(fault.Relay, in)) })
		}
	}
	for _, factor := range []float64{1, 2, 4, 8} {
		b.Run(fmt.Sprintf("size-%g", factor), func(b *testing.B) {
			in := gen.Instrument(1, gen.Scaled(factor))
			run(b, gen.FilesOf(gen.Design(1, in, gen.AnyOptions(1)), in))
		})
	}
}
