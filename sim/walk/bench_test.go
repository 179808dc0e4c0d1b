package walk

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// electrical is a generated relay that says what is electrical: one supply, a fuse
// for each board, cables of 18 m.
func electrical(tb testing.TB, seed uint64, in *console.Instrument) (*wiring.Relay, *circuit.Circuit) {
	dir := tb.TempDir()
	files := gen.Relay(seed, in, gen.Options{Cables: true})
	files[gen.RelayFile] = append(files[gen.RelayFile], "supplies: {main: {volts: 14.5}}\nmagnets:\n"+
		"  valve: {kinds: [valve, note], ohms: 150, pull-in: 8}\n  action: {kinds: [action, ventil, tremulant, shade], ohms: 60}\n"+
		"  moved: {kinds: [action-on, action-off, knob-on, knob-off], ohms: 40, pulse: 150 ms}\n"...)
	require.NoError(tb, files.Write(dir))
	r, found := wiring.Load(dir+"/"+gen.RelayFile, in)
	require.NotNil(tb, r, found)
	c, found := circuit.Read(r, in)
	require.NotNil(tb, c, found)
	for i := range c.Boards {
		c.Fuses = append(c.Fuses, circuit.Fuse{ID: fmt.Sprint("F", i), Amps: 6})
		c.Boards[i].Fuse = i
	}
	for i := range c.Cables {
		c.Cables[i].Wire = circuit.Wire{Gauge: circuit.AWG(24), Metres: 18, Count: 1}
	}
	return r, c
}

// Planning for the large instrument is to take less than two seconds.
func BenchmarkPlanOfTheLargeInstrument(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	r, c := electrical(b, 1, in)
	run := func(name string, c *circuit.Circuit) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				b.ReportMetric(float64(len(Plan(in, r, c, Options{}))), "steps")
			}
		})
	}
	run("wires", nil)
	run("currents", c)
}
