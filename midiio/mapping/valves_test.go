package mapping

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// Valves count from 0, and valve 129 is number 0 of the next channel.
func TestValvesGoOnOnTheNextChannel(t *testing.T) {
	text := strings.Replace(organ, "from: C-1, pipes: 128", "from: C-1, pipes: 140", 1)
	in, found := console.Parse("organ.yaml", []byte(text+"midi:\n  valves: {trumpet: channel 3}\n"))
	require.NotNil(t, in, "%v", found)
	m, found := Load(in)
	require.Empty(t, found)
	end, first := m.End(AtConsole, ""), in.Ranks[2].First
	var out []midiio.Message
	for _, valve := range []int{1, 128, 129, 140} {
		out = end.Say(out, console.Effect{Kind: console.ValveEffect, Index: first + valve - 1, Value: 1}) // open, without wind
	}
	out = end.Say(out, console.Effect{Kind: console.ValveEffect, Index: first, Value: 2}) // wind is not wiring
	out = end.Say(out, console.Effect{Kind: console.ValveEffect, Index: first, Value: 0})
	require.Equal(t, messages(t, "note-on 3 0 64\nnote-on 3 127 64\nnote-on 4 0 64\nnote-on 4 11 64\nnote-on 3 0 0"), out)
	require.Equal(t, "notes from 0 on channel 3 to 11 on channel 4", m.Table()[0].ToOrgan)

	in, _ = console.Parse("organ.yaml", []byte(text+"midi:\n  valves: {trumpet: channel 16}\n"))
	m, found = Load(in)
	require.Nil(t, m)
	require.Equal(t, "140 valves from channel 16 on need channel 17", found[0].Message)
}

// Lines are told as they are after the couplers: a key of the great with its
// coupler sounds the line of the choir.
func TestLinesAreToldAfterTheCouplers(t *testing.T) {
	in, m := load(t, "  lines: {choir: channel 4}\n")
	machine, end := console.NewMachine(in), m.End(AtConsole, "")
	coupler := 4 // choir-to-great
	machine.Do(nil, 0, console.Draw(coupler), console.KeyMoved(console.Key{Keyboard: 0, Note: 40}, 1, ""))
	require.Equal(t, messages(t, "note-on 4 40 64"), end.Lines(nil, machine.Sounding()))
	require.Empty(t, end.Lines(nil, machine.Sounding()))
	machine.Do(nil, 0, console.Push(coupler))
	require.Equal(t, messages(t, "note-on 4 40 0"), end.Lines(nil, machine.Sounding()))
}
