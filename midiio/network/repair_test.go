package network

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What one who missed packets does by the journal of the next one (RFC 6295
// appendix A): each line of before was heard by both, each of missed by the
// sender only.
func TestAJournalMakesUpForWhatWasMissed(t *testing.T) {
	for name, c := range map[string]struct{ before, missed, want []string }{
		"a note on":                    {nil, []string{"90 3c 64"}, []string{"90 3c 64"}},
		"a note off":                   {[]string{"90 3c 64"}, []string{"80 3c 20"}, []string{"80 3c 40"}},
		"a note that came and went":    {nil, []string{"90 3c 64", "90 3c 00"}, nil},
		"a note struck again":          {[]string{"90 3c 64"}, []string{"80 3c 40", "90 3c 50"}, nil},
		"several channels":             {[]string{"90 3c 64"}, []string{"80 3c 20", "95 3c 01"}, []string{"80 3c 40", "95 3c 01"}},
		"a controller":                 {[]string{"b0 07 10"}, []string{"b0 07 11", "b0 07 12"}, []string{"b0 07 12"}},
		"one set to what it was":       {[]string{"b0 07 10"}, []string{"b0 07 11", "b0 07 10"}, nil},
		"local control":                {nil, []string{"b0 7a 7f"}, []string{"b0 7a 7f"}},
		"a program":                    {[]string{"c0 01"}, []string{"c0 02"}, []string{"c0 02"}},
		"a program of another bank":    {[]string{"c0 01"}, []string{"b0 00 01", "b0 20 02", "c0 01"}, []string{"b0 00 01", "b0 20 02", "c0 01"}},
		"a bank for the next program":  {[]string{"b0 00 01", "b0 20 02", "c0 01"}, []string{"b0 00 05"}, []string{"b0 00 05"}},
		"a bend":                       {nil, []string{"e0 01 02", "e0 03 04"}, []string{"e0 03 04"}},
		"all notes off":                {[]string{"90 3c 64", "90 40 64"}, []string{"b0 7b 00"}, []string{"b0 7b 00"}},
		"all notes off, then one on":   {[]string{"90 3c 64"}, []string{"b0 7b 00", "90 3c 50"}, []string{"b0 7b 00", "90 3c 50"}},
		"all sound off":                {[]string{"90 3c 64"}, []string{"b0 78 00"}, []string{"b0 78 00"}},
		"controllers reset":            {[]string{"b0 01 64", "b0 07 64"}, []string{"b0 01 50", "b0 07 50", "b0 79 00"}, []string{"b0 79 00", "b0 07 50"}},
		"one set after the reset":      {[]string{"b0 0b 64"}, []string{"b0 79 00", "b0 0b 64"}, []string{"b0 79 00", "b0 0b 64"}},
		"a system reset":               {[]string{"90 3c 64", "b0 07 64"}, []string{"ff"}, []string{"80 3c 40"}},
		"parameters are left out":      {nil, []string{"b0 65 00", "b0 64 00", "b0 06 02", "b0 26 00"}, nil},
		"a channel pressed":            {[]string{"d0 20"}, []string{"d0 30", "d0 10"}, []string{"d0 10"}},
		"pressed as it was":            {[]string{"d0 20", "a0 3c 20"}, []string{"d0 30", "a0 3c 30", "d0 20", "a0 3c 20"}, nil},
		"keys pressed":                 {[]string{"90 3c 64"}, []string{"90 40 64", "a0 40 20", "a0 3c 10"}, []string{"90 40 64", "a0 3c 10", "a0 40 20"}},
		"a pressure that was reset":    {[]string{"d0 20"}, []string{"d0 30", "a0 3c 30", "b0 79 00"}, []string{"b0 79 00"}},
		"a pressure that was silenced": {[]string{"d0 20"}, []string{"d0 30", "a0 3c 30", "b0 7b 00", "d0 10"}, []string{"b0 7b 00", "d0 10"}},
		"what no chapter of ours is":   {nil, []string{"f1 10", "f8", "f0 7e f7"}, nil},
		"the pedal and what it let go": {[]string{"b0 40 7f", "90 3c 64"}, []string{"80 3c 40", "b0 40 00"}, []string{"b0 40 00", "80 3c 40"}},
	} {
		t.Run(name, func(t *testing.T) {
			var sent, got state
			at := uint32(1)
			for _, command := range c.before {
				at++
				sent.hear(at, octets(t, command))
				got.hear(known, octets(t, command))
			}
			acked := at
			for _, command := range c.missed {
				at++
				sent.hear(at, octets(t, command))
			}
			journal, err := parseJournal(sent.journal(at+1, acked).append(nil))
			require.NoError(t, err)
			var want [][]byte
			for _, command := range c.want {
				want = append(want, octets(t, command))
			}
			require.Equal(t, want, got.repair(journal))
			require.Empty(t, got.repair(journal), "once")
		})
	}
}

// Another sender may tell of a pedal by how often it went on and off (the
// toggle tool), and have a note skipped that is too late.
func TestJournalsOfOthersMakeUpForWhatWasMissed(t *testing.T) {
	var s state
	pedal := func(toggles byte) Journal {
		return Journal{Channels: []ChannelJournal{{Channel: 2, Controls: []ControlLog{{Number: 64, Tool: ByToggle, Value: toggles}}}}}
	}
	require.Equal(t, [][]byte{{0xB1, 64, 127}}, s.repair(pedal(1)))
	require.Empty(t, s.repair(pedal(1)))
	require.Equal(t, [][]byte{{0xB1, 64, 0}}, s.repair(pedal(4)))
	require.Equal(t, [][]byte{{0xB1, 64, 127}}, s.repair(pedal(5)))
	s.hear(known, []byte{0xB1, 64, 0})
	require.Empty(t, s.repair(pedal(6)))
	late := Journal{Channels: []ChannelJournal{{Channel: 1, Notes: []NoteLog{{Note: 60, Velocity: 1, Play: false}}}}}
	require.Empty(t, s.repair(late))
}
