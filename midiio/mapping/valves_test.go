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

// A channel has 16,384 non-registered parameters, of which 99 chooses the high and
// 98 the low seven bits, and 6 is the value (MIDI 1.0 table III, "Data Entry").
func TestARelayReportsMoreValvesThanThereAreNotes(t *testing.T) {
	in, m := load(t, "  valves: {all: nrpns from 16300 on channel 15}\n")
	relay, bench := m.End(AtOrgan, ""), m.End(AtConsole, "")
	said := relay.Say(nil, console.Effect{Kind: console.ValveEffect, Index: 83, Value: 2})
	said = relay.Say(said, console.Effect{Kind: console.ValveEffect, Index: 84, Value: 1})
	said = relay.Say(said, console.Effect{Kind: console.ValveEffect, Index: 83, Value: 0})
	require.Equal(t, messages(t, `control-change 15 99 127
		control-change 15 98 127
		control-change 15 6 127
		control-change 16 99 0
		control-change 16 98 0
		control-change 16 6 127
		control-change 15 99 127
		control-change 15 98 127
		control-change 15 6 0`), said)
	var heard []string
	for _, message := range said {
		for _, s := range bench.Hear(midiio.Timed{Message: message}).Signals {
			heard = append(heard, s.Words(in))
		}
	}
	entry, _ := m.Find(Thing{Kind: Valve, Index: 83})
	require.Equal(t, []int{0, 6}, []int{entry.Bytes(ToOrgan), entry.Bytes(ToConsole)}, "9 bytes, of which running status leaves the three statuses out")
	require.Equal(t, []string{"flute:59 on", "flute:60 on", "flute:59 off"}, heard) // 25 of the principal are before
	require.Empty(t, m.End(AtConsole, "").Say(nil, console.Effect{Kind: console.ValveEffect, Index: 83, Value: 2}))
	require.Equal(t, Row{"valves", "all ranks", "", "nrpns from 16300 on channel 15 to 188 on channel 16"}, m.Table()[0])
	require.Equal(t, "  valves:\n    all: nrpns from 16300 on channel 15\n", m.Text())
}

func TestWhatARankHasOfItsOwnCountsBeforeAll(t *testing.T) {
	for _, section := range []string{"  valves:\n    all: channel 2\n    flute: nrpns from 7 on channel 1\n", "  valves:\n    flute: nrpns from 7 on channel 1\n    all: channel 2\n"} {
		_, m := load(t, section)
		require.Equal(t, "  valves:\n    principal: channel 2\n    flute: nrpns from 7 on channel 1\n    trumpet: {channel: 3, first: 17}\n", m.Text())
	}
}

func TestWhatOpensAValveIsANote(t *testing.T) {
	for section, message := range map[string]string{
		"{message: nrpns from 0 on channel 1, way: both}":     "what opens a valve must be a note, which is let go of however the console ends; a parameter only reports one",
		"{message: nrpns from 0 on channel 1, way: to-organ}": "what opens a valve must be a note, which is let go of however the console ends; a parameter only reports one",
		"{message: nrpns from 0 on channel 1, channel: 1}":    "a rank's valves has no field channel",
		"nrpn 0 on channel 1":                                 "valves are notes, or non-registered parameters that rise by one",
		"nrpns from 0/2 on channel 1":                         "valves are notes, or non-registered parameters that rise by one",
		"programs from 0 on channel 1":                        "valves are notes, or non-registered parameters that rise by one",
		"nrpns from 16384 on channel 1":                       `"16384" is no number from 0 to 16383`,
		"nrpns from 16380 on channel 16":                      "120 valves from channel 16 on need channel 17",
		"nrpns on channel 16":                                 `"nrpns on channel 16" is no message; ` + example,
		"chanel 5":                                            `"chanel 5" is no channel`,
	} {
		m, found := Load(parse(t, "  valves: {flute: "+section+"}\n"))
		require.Nil(t, m, section)
		require.Equal(t, message, found[0].Message, section)
	}
	_, m := load(t, "  valves: {flute: {message: nrpns from 0 on channel 1, way: to-console}}\n")
	require.Equal(t, "  valves:\n    flute: nrpns from 0 on channel 1\n", m.Text())
}

func TestAParameterOfTwoThingsCollides(t *testing.T) {
	m, found := Load(parse(t, "  valves: {flute: nrpns from 0 on channel 1}\n  controls: {tremulant: nrpn 119 on channel 1}\n"))
	require.NotNil(t, m)
	require.Len(t, found, 1)
	require.Equal(t, "flute:120 and tremulant are both nrpn 119 on channel 1 to the console", found[0].Message)
}

// However many valves there are, a relay reports them all by the default map, as
// far as 16 channels go.
func TestTheDefaultMapHasAllValves(t *testing.T) {
	in := parse(t, "")
	m, found := Load(in)
	require.Empty(t, found)
	require.Contains(t, m.Table(), Row{"valves", "all ranks", "", "nrpns 0 to 272 on channel 16"})
	in.Valves = 16384
	require.Equal(t, "  valves: {all: nrpns from 0 on channel 16}\n", Reports(in))
	in.Valves++
	require.Equal(t, "  valves: {all: nrpns from 0 on channel 15}\n", Reports(in))
	in.Valves = 16*16384 + 1
	require.Empty(t, Reports(in))
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
