package midiio

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The example files of the specification, RP-001, and its table of numbers of
// variable length.
const (
	example0 = `4D 54 68 64 00 00 00 06 00 00 00 01 00 60
4D 54 72 6B 00 00 00 3B
00 FF 58 04 04 02 18 08   00 FF 51 03 07 A1 20
00 C0 05  00 C1 2E  00 C2 46
00 92 30 60  00 3C 60  60 91 43 40  60 90 4C 20
81 40 82 30 40  00 3C 40  00 81 43 40  00 80 4C 40
00 FF 2F 00`
	example1 = `4D 54 68 64 00 00 00 06 00 01 00 04 00 60
4D 54 72 6B 00 00 00 14  00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 83 00 FF 2F 00
4D 54 72 6B 00 00 00 10  00 C0 05 81 40 90 4C 20 81 40 4C 00 00 FF 2F 00
4D 54 72 6B 00 00 00 0F  00 C1 2E 60 91 43 40 82 20 43 00 00 FF 2F 00
4D 54 72 6B 00 00 00 15  00 C2 46 00 92 30 60 00 3C 60 83 00 30 00 00 3C 00 00 FF 2F 00`
)

var quantities = map[uint32]string{
	0x00: "00", 0x40: "40", 0x7F: "7F", 0x80: "81 00", 0x2000: "C0 00", 0x3FFF: "FF 7F",
	0x4000: "81 80 00", 0x100000: "C0 80 00", 0x1FFFFF: "FF FF 7F",
	0x200000: "81 80 80 00", 0x8000000: "C0 80 80 00", 0xFFFFFFF: "FF FF FF 7F",
}

func unhex(text string) []byte {
	b, err := hex.DecodeString(strings.Join(strings.Fields(text), ""))
	if err != nil {
		panic(err)
	}
	return b
}

func TestNumbersOfVariableLengthAreAsInTheSpecification(t *testing.T) {
	for n, text := range quantities {
		require.Equal(t, unhex(text), appendQuantity(nil, n))
		r := trackReader{fileReader: &fileReader{data: unhex(text), end: len(unhex(text))}}
		got, ok := r.quantity()
		require.True(t, ok)
		require.Equal(t, n, got)
	}
}

// Both examples are the same music: 3 channels, from 96 ticks for half a
// second on, with each other's note off (64 against velocity 0).
func TestTheExamplesOfTheSpecificationReadAndPlay(t *testing.T) {
	want := []string{
		"0s program-change 1 5", "0s program-change 2 46", "0s program-change 3 70",
		"0s note-on 3 48/C3 96", "0s note-on 3 60/C4 96", "500ms note-on 2 67/G4 64", "1s note-on 1 76/E5 32",
		"2s note-off 3 48/C3", "2s note-off 3 60/C4", "2s note-off 2 67/G4", "2s note-off 1 76/E5",
	}
	for _, text := range []string{example0, example1} {
		f, faults := ReadFile(unhex(text))
		require.Empty(t, faults)
		messages, length := f.Messages()
		require.Equal(t, 2*time.Second, length)
		var got []string
		for _, m := range messages {
			text := m.Message.String()
			if m.Message.EndsNote() {
				text = strings.Replace(text[:strings.LastIndex(text, " ")], "note-on", "note-off", 1)
			}
			got = append(got, fmt.Sprint(m.At, " ", text))
		}
		require.ElementsMatch(t, want, got)
	}
}

func TestTheExamplesOfTheSpecificationAreWrittenAsTheyStand(t *testing.T) {
	for _, text := range []string{example0, example1} {
		f, _ := ReadFile(unhex(text))
		written, err := f.Bytes()
		require.NoError(t, err)
		require.Equal(t, hex.EncodeToString(unhex(text)), hex.EncodeToString(written))
	}
}

func header(rest string) string { return "4D546864 00000006 0000 0001 0060 " + rest }

func track(events string) string {
	return fmt.Sprintf("4D54726B %08X %s", len(unhex(events)), events)
}

func TestWhatIsGoodInAFileIsKeptAndWhatIsNotIsToldByTheByte(t *testing.T) {
	for name, c := range map[string]struct {
		file   string
		want   []string // tick and text of the messages; nil: no file
		faults []string
	}{
		"no MIDI file":                   {"52494646", nil, []string{"byte 0: no standard MIDI file: it does not begin with MThd"}},
		"an empty file":                  {"", nil, []string{"byte 0: no standard MIDI file: it does not begin with MThd"}},
		"a short header":                 {"4D546864 00000004 0000 0001", nil, []string{"byte 8: a header has 6 bytes, not 4"}},
		"a format of the future":         {"4D546864 00000006 0003 0001 0060", nil, []string{"byte 8: no format 3: 0, 1 and 2 are known"}},
		"a division of nothing":          {"4D546864 00000006 0000 0001 0000", nil, []string{"byte 12: no division 00 00: it is ticks for a quarter note, or 24, 25, 29 or 30 frames and ticks for each"}},
		"a division of 23 frames":        {"4D546864 00000006 0000 0001 E950", nil, []string{"byte 12: no division E9 50: it is ticks for a quarter note, or 24, 25, 29 or 30 frames and ticks for each"}},
		"a longer header":                {"4D546864 00000008 0000 0001 0060 1234" + track("00 C0 05 00 FF2F00"), []string{"0 program-change 1 5"}, nil},
		"an unknown chunk":               {header("58797A7A 00000003 010203" + track("00 C0 05 00 FF2F00")), []string{"0 program-change 1 5"}, nil},
		"running status":                 {header(track("00 90 3C40 10 3C00 00 FF2F00")), []string{"0 note-on 1 60/C4 64", "16 note-on 1 60/C4 0"}, nil},
		"running status after meta":      {header(track("00 90 3C40 00 FF0100 10 3C00 00 FF2F00")), []string{"0 note-on 1 60/C4 64", "16 note-on 1 60/C4 0"}, []string{"byte 31: running status after a meta event or system exclusive; it is read as status 90"}},
		"no running status":              {header(track("00 3C 40")), []string{}, []string{"byte 23: a data byte 3C without a status; the rest of the track is left out"}},
		"a status of the wire":           {header(track("00 C0 05 00 F8 00 C0 06")), []string{"0 program-change 1 5"}, []string{"byte 26: status F8 does not occur in a file; the rest of the track is left out"}},
		"data that is none":              {header(track("00 C0 05 00 90 3C 80 00 FF2F00")), []string{"0 program-change 1 5"}, []string{"byte 27: data of note-on is not below 80 hex; the rest of the track is left out"}},
		"a track without its end":        {header(track("00 C0 05")), []string{"0 program-change 1 5"}, []string{"byte 25: a track without its end"}},
		"a track cut in its chunk":       {header("4D54726B 00000010 00 C0 05 00 90 3C"), []string{"0 program-change 1 5"}, []string{"byte 18: a chunk of 16 bytes is cut after 6", "byte 27: the track is cut within an event"}},
		"a track cut within a number":    {header(track("00 C0 05 81")), []string{"0 program-change 1 5"}, []string{"byte 25: the track is cut within a number"}},
		"a number too long":              {header(track("00 C0 05 8181818100 C0 06")), []string{"0 program-change 1 5"}, []string{"byte 25: a number of more than 4 bytes; the rest of the track is left out"}},
		"a meta event cut":               {header(track("00 C0 05 00 FF 01 20 41")), []string{"0 program-change 1 5"}, []string{"byte 28: an event of 32 bytes is cut after 1"}},
		"bytes after the track's end":    {header(track("00 FF2F00 00 C0 05")), []string{}, []string{"byte 26: 3 bytes follow the end of the track"}},
		"a bad track before a good one":  {"4D546864 00000006 0001 0002 0060" + track("00 3C") + track("00 C0 05 00 FF2F00"), []string{"0 program-change 1 5"}, []string{"byte 23: a data byte 3C without a status; the rest of the track is left out"}},
		"fewer tracks than counted":      {"4D546864 00000006 0001 0003 0060" + track("00 FF2F00"), []string{}, []string{"byte 10: the header counts 3 tracks; there are 1"}},
		"two tracks in format 0":         {"4D546864 00000006 0000 0002 0060" + track("00 FF2F00") + track("00 C0 05 00 FF2F00"), []string{"0 program-change 1 5"}, []string{"byte 8: a file of format 0 has one track, not 2; they are played together"}},
		"junk at the end":                {header(track("00 FF2F00") + "0102"), []string{}, []string{"byte 26: 2 bytes at the end are no chunk"}},
		"system exclusive":               {header(track("00 F0 03 43 12 F7 00 FF2F00")), []string{"0 sysex 43 12"}, nil},
		"system exclusive in packets":    {header(track("00 F0 02 43 12 10 F7 01 07 10 F7 02 08 F7 00 FF2F00")), []string{"0 sysex-begin 43 12", "16 sysex-more 07", "32 sysex-end 08"}, nil},
		"system exclusive that ends not": {header(track("00 F0 02 43 12 10 C0 05 00 FF2F00")), []string{"0 sysex-cut 43 12", "16 program-change 1 5"}, nil},
		"system exclusive with a status": {header(track("00 F0 03 43 C0 F7 10 C0 05 00 FF2F00")), []string{"16 program-change 1 5"}, []string{"byte 24: system exclusive with a byte that is not below 80 hex is left out"}},
		"a status that cuts a packet":    {header(track("00 F0 02 43 12 10 F7 03 07 F8 F0 00 FF2F00")), []string{"0 sysex-begin 43 12", "16 timing-clock", "16 sysex-cut 07", "16 sysex-cut"}, nil},
		"a clock between packets":        {header(track("00 F0 02 43 12 10 F7 01 F8 10 F7 02 08 F7 00 FF2F00")), []string{"0 sysex-begin 43 12", "16 timing-clock", "32 sysex-end 08"}, nil},
		"bytes of any kind":              {header(track("00 F7 03 F3 01 FF 00 FF2F00")), []string{"0 song-select 1", "0 system-reset"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			f, faults := ReadFile(unhex(c.file))
			var told []string
			for _, fault := range faults {
				told = append(told, fault.String())
			}
			require.Equal(t, c.faults, told)
			if c.want == nil {
				require.Nil(t, f)
				return
			}
			require.Equal(t, c.want, eventTexts(f))
		})
	}
}

// eventTexts are the events of a file but for its meta events.
func eventTexts(f *File) []string {
	texts := []string{}
	for _, track := range f.Tracks {
		for _, e := range track {
			if !e.Meta {
				texts = append(texts, fmt.Sprint(e.Tick, " ", e.Message))
			}
		}
	}
	return texts
}

// The division's two forms, RP-001: ticks of 25 frames of 40 are milliseconds;
// 29 stands for the 30000/1001 frames a second of drop frame.
func TestTicksAreAsLongAsTheDivisionSays(t *testing.T) {
	for name, c := range map[string]struct {
		division string
		events   string
		want     time.Duration
	}{
		"96 to a quarter at the default tempo": {"0060", "60 C0 05 00 FF2F00", 500 * time.Millisecond},
		"a tempo of 1 second":                  {"0060", "00 FF5103 0F4240 60 C0 05 00 FF2F00", time.Second},
		"a tempo that changes":                 {"0060", "60 FF5103 0F4240 60 C0 05 00 FF2F00", 1500 * time.Millisecond},
		"milliseconds":                         {"E728", "83 74 C0 05 00 FF2F00", 500 * time.Millisecond},
		"24 frames of 4":                       {"E804", "60 C0 05 00 FF2F00", time.Second},
		"30 frames of 80":                      {"E250", "92 60 C0 05 00 FF2F00", time.Second},
		"drop frame, a tempo says nothing":     {"E364", "00 FF5103 0F4240 97 38 C0 05 00 FF2F00", 1001 * time.Millisecond},
	} {
		t.Run(name, func(t *testing.T) {
			f, faults := ReadFile(unhex("4D546864 00000006 0000 0001" + c.division + track(c.events)))
			require.Empty(t, faults)
			messages, _ := f.Messages()
			require.Equal(t, c.want, messages[0].At)
		})
	}
}

func TestTracksOfFormat2FollowOneAnother(t *testing.T) {
	one := track("60 C0 05 60 FF2F00")
	f, faults := ReadFile(unhex("4D546864 00000006 0002 0002 0060" + one + one))
	require.Empty(t, faults)
	messages, length := f.Messages()
	require.Equal(t, []time.Duration{time.Second / 2, 3 * time.Second / 2}, []time.Duration{messages[0].At, messages[1].At})
	require.Equal(t, 2*time.Second, length)
}

// files are of every division and of any messages that a port can bring.
var files = rapid.Custom(func(t *rapid.T) *File {
	f := &File{Format: rapid.IntRange(0, 2).Draw(t, "format"), Division: Division{PerQuarter: rapid.IntRange(1, 1<<15-1).Draw(t, "ticks")}}
	if rapid.Bool().Draw(t, "frames") {
		f.Division = Division{Frames: rapid.SampledFrom([]int{24, 25, 29, 30}).Draw(t, "rate"), PerFrame: rapid.IntRange(1, 255).Draw(t, "ticks")}
	}
	tracks := 1
	if f.Format > 0 {
		tracks = rapid.IntRange(1, 4).Draw(t, "tracks")
	}
	for range tracks {
		var track Track
		tick := int64(0)
		for range rapid.IntRange(0, 30).Draw(t, "events") {
			tick += rapid.OneOf(rapid.Just(int64(0)), rapid.Int64Range(0, 300), rapid.Int64Range(0, longest)).Draw(t, "delta")
			if rapid.IntRange(0, 4).Draw(t, "meta") == 0 {
				text := rapid.StringMatching(`[a-z ]{0,200}`).Draw(t, "text")
				track = append(track, Meta(tick, MetaText, []byte(text)))
				continue
			}
			track = append(track, FileEvent{Tick: tick, Message: wholeMessages.Draw(t, "message")})
		}
		f.Tracks = append(f.Tracks, append(track, Meta(tick, MetaEndOfTrack, []byte{})))
	}
	return f
})

var wholeMessages = rapid.Custom(func(t *rapid.T) Message {
	data := rapid.ByteMax(0x7F)
	status := byte(rapid.IntRange(0x80, 0xFF).Filter(func(b int) bool { return defined(byte(b)) && b != sysExEnd }).Draw(t, "status"))
	if status == sysEx {
		return SysEx(rapid.SliceOfN(data, 0, 300).Draw(t, "body"))
	}
	m := Message{Status: status}
	if n := dataBytes(status); n > 0 {
		m.A = data.Draw(t, "first")
		if n == 2 {
			m.B = data.Draw(t, "second")
		}
	}
	return m
})

func TestAFileReadsAsItWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := files.Draw(t, "file")
		written, err := f.Bytes()
		require.NoError(t, err)
		read, faults := ReadFile(written)
		require.Empty(t, faults)
		require.Equal(t, f, read)
		again, err := read.Bytes()
		require.NoError(t, err)
		require.Equal(t, written, again)
	})
}

func TestASilenceLongerThanAFileCanHoldIsBroken(t *testing.T) {
	f := &File{Division: Division{PerQuarter: 1}, Tracks: []Track{{{Tick: 3*longest + 5, Message: NoteOn(1, 60, 1)}}}}
	written, err := f.Bytes()
	require.NoError(t, err)
	read, faults := ReadFile(written)
	require.Empty(t, faults)
	require.Equal(t, []string{fmt.Sprint(3*longest+5, " note-on 1 60/C4 1")}, eventTexts(read))
}

func FuzzReadFile(f *testing.F) {
	f.Add(unhex(example0))
	f.Add(unhex(example1))
	f.Add(unhex(header(track("00 F0 02 43 12 10 F7 01 07 10 F7 02 08 F7 00 F7 02 F8 41 00 FF2F00"))))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, faults := ReadFile(data)
		for _, fault := range faults {
			require.LessOrEqual(t, fault.Offset, len(data))
		}
		if file == nil {
			require.NotEmpty(t, faults)
			return
		}
		messages, _ := file.Messages()
		require.True(t, slices.IsSortedFunc(messages, func(a, b Timed) int { return int(a.At - b.At) }))
		if len(file.Tracks) == 0 {
			return
		}
		written, err := file.Bytes()
		require.NoError(t, err)
		read, faults := ReadFile(written)
		require.Empty(t, faults)
		require.Equal(t, eventTexts(file), eventTexts(read))
	})
}
