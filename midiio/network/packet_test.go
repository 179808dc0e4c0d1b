package network

import (
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func octets(t require.TestingT, text string) []byte {
	b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	require.NoError(t, err)
	return b
}

func commands(texts ...string) (list []Command) {
	for _, text := range texts {
		b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
		if err != nil {
			panic(err)
		}
		list = append(list, Command{Bytes: b})
	}
	return list
}

const source = 0x11111111

// vectors are packets laid out by hand after RFC 6295 (sections 2, 3 and 5,
// appendix A.6). tshark 4.0.17, which shares nothing with us, reads all of them
// as they are named, and nothing in them as malformed; the peer test asks it.
var vectors = []struct {
	name, octets string
	packet       Packet
}{
	{
		"a chord by running status, 5 ticks apart, with an empty journal",
		"80 e1 01 02 00 00 30 39 11 11 11 11 46 90 3c 64 05 40 64 80 01 02",
		Packet{Sequence: 0x0102, Time: 0x3039, Source: source, Commands: []Command{{0, []byte{0x90, 60, 100}}, {5, []byte{0x90, 64, 100}}}, Journal: &Journal{Checkpoint: 0x0102}},
	},
	{
		"a guard packet whose journal has two notes on",
		"80 61 01 03 00 00 30 70 11 11 11 11 40 20 01 02 00 09 08 82 f0 3c e4 40 e4",
		Packet{Sequence: 0x0103, Time: 0x3070, Source: source, Journal: &Journal{0x0102, []ChannelJournal{{Channel: 1, Notes: []NoteLog{{60, 100, true, true}, {64, 100, true, true}}}}}},
	},
	{
		"a note off, while the journal still lists the notes on",
		"80 e1 01 04 00 00 30 d4 11 11 11 11 43 90 3c 00 a0 01 02 80 09 08 82 f0 bc 64 c0 64",
		Packet{Sequence: 0x0104, Time: 0x30D4, Source: source, Commands: commands("90 3c 00"), Journal: &Journal{0x0102, []ChannelJournal{{Channel: 1, Notes: []NoteLog{{60, 100, false, false}, {64, 100, false, false}}}}}},
	},
	{
		"a guard packet whose journal has a note on and one off",
		"80 61 01 05 00 00 31 38 11 11 11 11 40 20 01 02 00 08 08 01 77 c0 64 08",
		Packet{Sequence: 0x0105, Time: 0x3138, Source: source, Journal: &Journal{0x0102, []ChannelJournal{{Channel: 1, Notes: []NoteLog{{64, 100, false, false}}, Off: []byte{60}, OffLast: true}}}},
	},
	{
		"a first command 288 ticks after the packet's time, without a journal",
		"80 e1 01 04 00 00 30 d4 11 11 11 11 25 82 20 90 3c 00",
		Packet{Sequence: 0x0104, Time: 0x30D4, Source: source, Commands: []Command{{288, []byte{0x90, 60, 0}}}},
	},
	{
		"ten notes on, in a list of 30 octets with the long header",
		"80 e1 01 05 00 00 31 38 11 11 11 11 80 1e 90 24 64 00 25 64 00 26 64 00 27 64 00 28 64 00 29 64 00 2a 64 00 2b 64 00 2c 64 00 2d 64",
		Packet{Sequence: 0x0105, Time: 0x3138, Source: source, Commands: commands("90 24 64", "90 25 64", "90 26 64", "90 27 64", "90 28 64", "90 29 64", "90 2a 64", "90 2b 64", "90 2c 64", "90 2d 64")},
	},
}

func TestPacketsAreAsTheStandardLaysThemOut(t *testing.T) {
	for _, v := range vectors {
		t.Run(v.name, func(t *testing.T) {
			p, err := ParsePacket(octets(t, v.octets))
			require.NoError(t, err)
			require.Equal(t, v.packet, p)
			require.Equal(t, octets(t, v.octets), p.Append(nil))
		})
	}
}

// Packets of the session protocol as publicly archived; tshark reads them.
func TestExchangesAreAsTheyArePublished(t *testing.T) {
	for text, want := range map[string]interface{ append([]byte) []byte }{
		"ff ff 49 4e 00 00 00 02 de ad be ef 11 11 11 11 42 65 6e 63 68 00":           Exchange{Invite, 0xDEADBEEF, source, "Bench"},
		"ff ff 4f 4b 00 00 00 02 de ad be ef 22 22 22 22 52 65 6c 61 79 00":           Exchange{Accept, 0xDEADBEEF, 0x22222222, "Relay"},
		"ff ff 43 4b 11 11 11 11 00 00 00 00 00 00 00 00 00 00 03 e8" + zeros(16):     Sync{source, 0, [3]uint64{1000}},
		"ff ff 52 53 22 22 22 22 01 05 00 00":                                         Feedback{0x22222222, 0x0105_0000},
		"ff ff 42 59 00 00 00 02 de ad be ef 11 11 11 11":                             Exchange{Bye, 0xDEADBEEF, source, ""},
		"ff ff 4e 4f 00 00 00 02 de ad be ef 11 11 11 11":                             Exchange{Refuse, 0xDEADBEEF, source, ""},
		"ff ff 43 4b 11 11 11 11 02 00 00 00" + zeros(7) + "01" + zeros(15) + "05 00": nil,
	} {
		b := octets(t, text)
		if want == nil {
			require.IsType(t, Sync{}, parseExchange(b))
			require.Nil(t, parseExchange(b[:len(b)-2]), "cut short")
			continue
		}
		require.Equal(t, want, parseExchange(b))
		require.Equal(t, b, want.append(nil))
	}
}

func zeros(n int) string { return strings.Repeat(" 00", n) }

func TestWhatIsNoPacketOfASessionIsNone(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":                "",
		"another signature":      "ff fe 49 4e 00 00 00 02 de ad be ef 11 11 11 11",
		"an unknown word":        "ff ff 41 41 00 00 00 02 de ad be ef 11 11 11 11",
		"another version":        "ff ff 49 4e 00 00 00 03 de ad be ef 11 11 11 11",
		"an invitation cut":      "ff ff 49 4e 00 00 00 02 de ad be ef 11 11 11",
		"a fourth comparison":    "ff ff 43 4b 11 11 11 11 03 00 00 00" + zeros(24),
		"a comparison cut short": "ff ff 43 4b 11 11 11 11 00 00 00 00" + zeros(23),
		"feedback cut short":     "ff ff 52 53 22 22 22 22 01 05 00",
	} {
		require.Nil(t, parseExchange(octets(t, text)), name)
	}
}

// A name goes to a terminal: nothing in it may act there.
func TestNamesOfPeersAreOfWhatPrints(t *testing.T) {
	for raw, want := range map[string]string{
		"Relay\x00trailing": "Relay", "\x1b[31mRed": "[31mRed", "Orgel\xff": "Orgel", "Stra\u00dfe\u202e": "Stra\u00dfe",
		strings.Repeat("x", 2000): strings.Repeat("x", maxName), "": "",
	} {
		require.Equal(t, want, parseName([]byte(raw)))
	}
}

func TestPacketsThatAreNotWellFormedAreRefused(t *testing.T) {
	const header = "80 e1 01 02 00 00 30 39 11 11 11 11 "
	for name, text := range map[string]string{
		"nothing":                              "",
		"no command section":                   header,
		"another version":                      "40" + header[2:] + "00",
		"padding":                              "a0" + header[2:] + "00",
		"another payload type":                 "80 e0" + header[5:] + "00",
		"a long header cut":                    header + "80",
		"a list shorter than it says":          header + "04 90 3c 64",
		"a command that lacks data":            header + "02 90 3c",
		"data above 7F":                        header + "03 90 3c 80",
		"running status from another packet":   header + "02 3c 64",
		"running status after a system common": header + "08 90 3c 64 00 f6 00 3d 64",
		"a delta time that does not end":       header + "08 90 3c 64 81 82 83 84 85",
		"a delta time that the list cuts":      header + "04 90 3c 64 81",
		"system exclusive that does not end":   header + "04 f0 7d 01 02",
		"a status within system exclusive":     header + "05 f0 7d 90 02 f7",
	} {
		_, err := ParsePacket(octets(t, text))
		require.Error(t, err, name)
	}
}

// RFC 6295 section 3: what ends a segment of system exclusive, real time
// between commands without effect on running status, and delta times alone.
func TestListsHoldWhatTheStandardAllows(t *testing.T) {
	const header = "80 e1 01 02 00 00 30 39 11 11 11 11 "
	for name, c := range map[string]struct {
		text string
		want []Command
	}{
		"segments":               {"80 10 f0 7d 01 f0 00 f7 02 f0 00 f7 03 f7 00 f0 7d f5", commands("f0 7d 01 f0", "f7 02 f0", "f7 03 f7", "f0 7d f5")},
		"a cancelled one":        {"02 f7 f4", commands("f7 f4")},
		"real time":              {"08 90 3c 64 00 f8 00 3d 64", commands("90 3c 64", "f8", "90 3d 64")},
		"a trailing delta time":  {"04 90 3c 64 07", commands("90 3c 64")},
		"only a delta time":      {"21 07", nil},
		"one octet of data":      {"05 c1 05 00 06 07", commands("c1 05", "c1 06")},
		"undefined statuses":     {"07 f4 00 f5 00 f9 00 fd", commands("f4", "f5", "f9", "fd")},
		"system common":          {"0b f1 11 00 f2 01 02 00 f3 04 00 f6", commands("f1 11", "f2 01 02", "f3 04", "f6")},
		"nothing":                {"00", nil},
		"the longest delta time": {"27 ff ff ff 7f 90 3c 64", []Command{{1<<28 - 1, []byte{0x90, 60, 100}}}},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := ParsePacket(octets(t, header+c.text))
			require.NoError(t, err)
			require.Equal(t, c.want, p.Commands)
		})
	}
}

// A journal that cannot be read, or is enhanced in a way we do not know, costs
// no command.
func TestABadJournalLeavesTheCommands(t *testing.T) {
	const header = "80 e1 01 02 00 00 30 39 11 11 11 11 43 90 3c 64 "
	for name, text := range map[string]string{
		"none at all":                       "",
		"cut in its header":                 "a0 01",
		"no channel where one is said":      "a0 01 02",
		"a channel longer than the packet":  "a0 01 02 80 0a 08 82 f0 bc 64 c0 64",
		"a channel shorter than its header": "a0 01 02 80 02 08",
		"a system journal cut":              "c0 01 02 00 09 00",
		"more notes than octets":            "a0 01 02 80 07 08 82 f0 bc 64",
		"octets in descending order":        "a0 01 02 80 06 08 80 73 00",
	} {
		p, err := ParsePacket(octets(t, header+text))
		require.NoError(t, err, name)
		require.Nil(t, p.Journal, name)
		require.Equal(t, commands("90 3c 64"), p.Commands, name)
	}
}

// What we do not use is passed over by its length: the system's journal, and
// chapters M and E (RFC 6295 appendices B, A.4 and A.7).
func TestChaptersThatAreNotUsedArePassedOver(t *testing.T) {
	text := "e0 01 02 80 04 aa bb 80 19 7f 80 87 64 80 04 aa bb 80 40 81 f0 bc e4 81 bc 40 be 01 a0 80 3c 05"
	j, err := parseJournal(octets(t, text))
	require.NoError(t, err)
	want := ChannelJournal{Channel: 1, Controls: []ControlLog{{Number: 7, Value: 100}}, Wheel: &WheelLog{Data: [2]byte{0, 64}}, Notes: []NoteLog{{60, 100, true, false}},
		Pressure: &PressureLog{32, false}, Keys: []KeyLog{{60, 5, true}}}
	require.Equal(t, Journal{0x0102, []ChannelJournal{want}}, j)

	want.Controls = nil // chapter C is of the enhanced kind, which is another one
	j, err = parseJournal(octets(t, strings.Replace(text, "80 19 7f", "84 19 7f", 1)))
	require.NoError(t, err)
	require.Equal(t, Journal{0x0102, []ChannelJournal{want}}, j)
}

func anyControl(t *rapid.T, number byte) ControlLog {
	l := ControlLog{number, Tool(rapid.IntRange(0, 2).Draw(t, "tool")), anyNumber.Draw(t, "value"), rapid.Bool().Draw(t, "last")}
	if l.Tool != ByValue {
		l.Value &= 0x3F
	}
	return l
}

// What is drawn at random.
var (
	anyNumber  = rapid.ByteMax(127)
	anyChannel = rapid.Custom(func(t *rapid.T) (c ChannelJournal) {
		if rapid.Bool().Draw(t, "program") {
			c.Program = &ProgramLog{anyNumber.Draw(t, "program"), rapid.Bool().Draw(t, "bank"), [2]byte{anyNumber.Draw(t, "msb"), anyNumber.Draw(t, "lsb")}, rapid.Bool().Draw(t, "last")}
		}
		if rapid.Bool().Draw(t, "wheel") {
			c.Wheel = &WheelLog{[2]byte{anyNumber.Draw(t, "low"), anyNumber.Draw(t, "high")}, rapid.Bool().Draw(t, "last")}
		}
		for number := range byte(120) {
			if rapid.IntRange(0, 9).Draw(t, "control") == 0 {
				c.Controls = append(c.Controls, anyControl(t, number))
			}
		}
		dense := rapid.Bool().Draw(t, "dense")
		for note := range byte(128) {
			switch kind := rapid.IntRange(0, 9).Draw(t, "note"); {
			case kind == 1:
				c.Off = append(c.Off, note)
			case kind == 0 || dense:
				c.Notes = append(c.Notes, NoteLog{note, rapid.ByteRange(1, 127).Draw(t, "velocity"), rapid.Bool().Draw(t, "play"), rapid.Bool().Draw(t, "last")})
			}
		}
		c.OffLast = len(c.Off) > 0 && rapid.Bool().Draw(t, "last")
		if rapid.Bool().Draw(t, "pressure") {
			c.Pressure = &PressureLog{anyNumber.Draw(t, "pressure"), rapid.Bool().Draw(t, "last")}
		}
		pressed := rapid.IntRange(0, 10).Draw(t, "of ten keys pressed")
		for note := range byte(128) {
			if rapid.IntRange(1, 10).Draw(t, "key") <= pressed {
				c.Keys = append(c.Keys, KeyLog{note, anyNumber.Draw(t, "pressure"), rapid.Bool().Draw(t, "last")})
			}
		}
		return c
	})
	anyJournal = rapid.Custom(func(t *rapid.T) Journal {
		j := Journal{Checkpoint: rapid.Uint16().Draw(t, "checkpoint")}
		for channel := 1; channel <= 16; channel++ {
			if rapid.IntRange(0, 3).Draw(t, "channel") == 0 {
				c := anyChannel.Draw(t, "journal")
				c.Channel = channel
				j.Channels = append(j.Channels, c)
			}
		}
		return j
	})
	anyCommand = rapid.Custom(func(t *rapid.T) []byte {
		status := rapid.SampledFrom([]byte{0x80, 0x90, 0x9F, 0xA1, 0xB2, 0xC3, 0xD4, 0xE5, 0xF0, 0xF1, 0xF2, 0xF3, 0xF6, 0xF7, 0xF8, 0xFE, 0xFF}).Draw(t, "status")
		if status == 0xF0 || status == 0xF7 {
			data := rapid.SliceOfN(anyNumber, 0, 20).Draw(t, "data")
			return append(append([]byte{status}, data...), rapid.SampledFrom([]byte{0xF0, 0xF7, 0xF4}).Draw(t, "end"))
		}
		return append([]byte{status}, rapid.SliceOfN(anyNumber, dataOctets(status), dataOctets(status)).Draw(t, "data")...)
	})
)

// All 128 notes on, 127 of them, and none are told apart by the bounds of the
// octets that follow (RFC 6295 appendix A.6).
func TestAJournalHoldsAnyNumberOfNotes(t *testing.T) {
	for _, n := range []int{0, 1, 126, 127, 128} {
		j := Journal{Channels: []ChannelJournal{{Channel: 16, Wheel: &WheelLog{}}}}
		for note := range n {
			j.Channels[0].Notes = append(j.Channels[0].Notes, NoteLog{Note: byte(note), Velocity: 1})
		}
		read, err := parseJournal(j.append(nil))
		require.NoError(t, err)
		require.Equal(t, j, read)
	}
}

func TestAPacketIsReadAsItWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Packet{
			Sequence: rapid.Uint16().Draw(t, "sequence"), Time: rapid.Uint32().Draw(t, "time"), Source: rapid.Uint32().Draw(t, "source"),
			Phantom: rapid.Bool().Draw(t, "phantom"),
		}
		for range rapid.IntRange(0, 40).Draw(t, "commands") {
			p.Commands = append(p.Commands, Command{rapid.Uint32Max(1<<28-1).Draw(t, "delta"), anyCommand.Draw(t, "command")})
		}
		if rapid.Bool().Draw(t, "has a journal") {
			j := anyJournal.Draw(t, "journal")
			p.Journal = &j
		}
		read, err := ParsePacket(p.Append(nil))
		require.NoError(t, err)
		require.Equal(t, p, read)
	})
}
