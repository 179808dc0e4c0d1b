package main

import (
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// BenchmarkKeyToValve is the way of a key in this process: its bytes into a
// port, the console with its combination action, the valve's bytes out of a
// port; a thousand of them a second. It is to be less than a byte takes on a
// MIDI cable, 320 us, in 99 of 100.
func BenchmarkKeyToValve(b *testing.B) {
	hardware, relay, stop := throughConsole(b)
	defer stop()
	took := make([]time.Duration, 0, 1<<16)
	next := time.Now()
	bytes := make([]byte, 64)
	for i := 0; b.Loop(); i++ {
		next = next.Add(time.Millisecond)
		time.Sleep(time.Until(next))
		start := time.Now()
		_, err := hardware.Write([]byte{0x90, byte(36 + i/2%61), byte(64 * (1 - i%2))})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := relay.Read(bytes); err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(start))
	}
	slices.Sort(took)
	b.ReportMetric(0, "ns/op") // the pace, not what it takes
	b.ReportMetric(float64(took[len(took)/2].Nanoseconds())/1e3, "us-median")
	b.ReportMetric(float64(took[len(took)*99/100].Nanoseconds())/1e3, "us-p99")
	b.ReportMetric(float64(took[len(took)-1].Nanoseconds())/1e3, "us-most")
}

// throughConsole has a console between two ports: who writes keys to the first
// reads valves from the second.
func throughConsole(t testing.TB) (hardware, relay midiio.Port, stop func()) {
	text, err := os.ReadFile("examples/saltmarsh/organ.yaml")
	require.NoError(t, err)
	text = append(text, `
midi:
  keys: {great: channel 1}
  valves: {great-principal: channel 2}
`...)
	in, found := console.Parse("organ.yaml", text)
	require.NotNil(t, in, "%v", found)
	m, found := mapping.Load(in)
	require.NotNil(t, m, "%v", found)

	keys, hardware := midiio.Pair(1 << 10)
	relay, valves := midiio.Pair(1 << 10)
	clock := midiio.NewClock()
	input, output := midiio.Listen(keys, clock), midiio.Talk(valves, 0, clock)
	heard, says := m.End(mapping.AtOrgan, "hardware"), m.End(mapping.AtConsole, "relay")
	c := combination.New(in, nil)
	drawn, err := findControl(in, "great-principal-8")
	require.NoError(t, err)
	c.Do(0, console.Draw(drawn))

	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for range input.Ready() {
			taken := input.Take()
			for _, t := range taken.Messages {
				for _, event := range heard.Hear(t).Events {
					for _, effect := range c.Do(t.At, event) {
						for _, message := range says.Say(nil, effect) {
							output.Send(message)
						}
					}
				}
			}
			if taken.Closed {
				return
			}
		}
	}()
	return hardware, relay, func() {
		require.NoError(t, input.Close())
		<-ended
		_ = relay.Close() // what the output has to say has no reader
		_ = output.Close()
	}
}
