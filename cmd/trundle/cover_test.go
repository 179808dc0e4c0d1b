package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

const coverOrgan = `format: 1
instrument: Bench
keyboards: {manual: {kind: manual, keys: C4..E4}}
boxes: {box: {stages: 4}}
divisions: {manual: {keyboard: manual, notes: C4..E4, chest: unit, box: box}}
ranks: {flute: {division: manual, family: flute, feet: 8, from: C4, pipes: 5}}
stops:
  flute-8: {division: manual, feet: 8, rank: flute}
  flute-quiet: {division: manual, feet: 8, rank: flute}
shoes: {swell: {drives: [box]}, crescendo: {drives: crescendo}}
crescendo: {stages: [[flute-8]]}
combination: {buttons: {set: {kind: set}}}
midi:
  keys: {manual: channel 1}
  shoes: {swell: controller 4 on channel 1, crescendo: controller 4 on channel 2}
  controls: {flute-8: note 0 on channel 15}
  buttons: {set: note 0 on channel 16}
`

// heardAt is a message in its text form and when it came.
type heardAt struct {
	ms   float64
	text string
}

func cover(t *testing.T, heard []heardAt) *coverage {
	in, found := console.Parse("organ.yaml", []byte(coverOrgan))
	require.NotNil(t, in, "%v", found)
	m, found := mapping.Load(in)
	require.NotNil(t, m, "%v", found)
	c := newCoverage(in, m, 25*time.Millisecond)
	for _, h := range heard {
		m, err := midiio.ParseMessage(h.text)
		require.NoError(t, err)
		c.hear(midiio.Timed{At: time.Duration(h.ms * float64(time.Millisecond)), Message: m})
	}
	return c
}

// stroke is a key that is pressed for 200 ms.
func stroke(ms float64, key string) []heardAt {
	return []heardAt{{ms, "note-on 1 " + key + " 64"}, {ms + 200, "note-off 1 " + key + " 64"}}
}

func strokes(keys ...string) (list []heardAt) {
	for i, key := range keys {
		list = append(list, stroke(float64(300*i), key)...)
	}
	return list
}

func TestTheCoverageSheetListsWhatWasNotWorked(t *testing.T) {
	c := cover(t, append(strokes("C4", "C#4", "E4"), []heardAt{
		{1000, "note-on 15 0 127"}, {1100, "note-on 16 0 127"}, {1200, "note-off 16 0 64"},
		{1300, "control-change 1 4 3"}, {1400, "control-change 1 4 110"},
		{1500, "control-change 2 4 0"}, {1600, "control-change 2 4 127"}, {1700, "note-on 3 60 1"}, {1800, "note-on 3 60 1"},
	}...))
	a := c.answer(2*time.Second, 0)
	require.Equal(t, []coverGroup{
		{"manual", 5, 3, []string{"manual D4", "manual D#4"}, []string{}, []console.Note{62, 63}},
		{"shoes", 2, 1, []string{}, []string{"swell"}, nil},
		{"crescendo", 2, 2, []string{}, []string{}, nil},
		{"controls", 1, 0, []string{}, []string{"flute-8"}, nil},
		{"buttons", 1, 1, []string{}, []string{}, nil},
	}, a.Groups)
	require.Equal(t, []string{"flute-quiet"}, a.Unmapped)
	require.Equal(t, []string{"note 60/C4 on channel 3"}, a.Strange)
	require.Empty(t, a.Disorder)
	require.Empty(t, a.Bouncing)
	require.Empty(t, a.Repeated)
	require.False(t, a.good())
	require.Contains(t, a.text(), "not seen: D4..D#4\n")
}

func TestWhatTheRelaySaysOnTheSameCableIsInTheMap(t *testing.T) {
	in, found := console.Parse("organ.yaml", []byte(coverOrgan+"  valves: {all: nrpns from 0 on channel 16}\n"))
	require.NotNil(t, in, "%v", found)
	m, found := mapping.Load(in)
	require.NotNil(t, m, "%v", found)
	c, relay := newCoverage(in, m, 0), m.End(mapping.AtOrgan, "relay")
	for _, message := range relay.Tell(nil, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Valve, Index: 2}, Value: 1}) {
		c.hear(midiio.Timed{Message: message})
	}
	require.Empty(t, c.strange)
	c.hear(midiio.Timed{Message: midiio.NoteOn(9, 2, 1)})
	require.Len(t, c.strange, 1)
}

func TestKeysOutOfOrderAreThoseThatGoAgainstTheThumb(t *testing.T) {
	for name, c := range map[string]struct {
		keys []string
		want []coverOrder
	}{
		"up":                  {[]string{"C4", "C#4", "D4", "D#4", "E4"}, []coverOrder{}},
		"down":                {[]string{"E4", "D#4", "D4", "C#4", "C4"}, []coverOrder{}},
		"two exchanged":       {[]string{"C4", "D4", "C#4", "D#4", "E4"}, []coverOrder{{"manual C#4", "manual D4"}}},
		"exchanged, down":     {[]string{"E4", "D4", "D#4", "C#4", "C4"}, []coverOrder{{"manual D#4", "manual D4"}}},
		"one again is not":    {[]string{"C4", "C#4", "C4", "D4", "E4"}, []coverOrder{}},
		"one that was late":   {[]string{"C4", "D4", "D#4", "E4", "C#4"}, []coverOrder{{"manual C#4", "manual E4"}}},
		"one that is wanting": {[]string{"C4", "D4", "E4"}, []coverOrder{}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, cover(t, strokes(c.keys...)).answer(time.Second, 0).Disorder)
		})
	}
}

// Contacts that make and break again within the window; the time is from the
// first movement to the last.
func TestContactsThatBounceAreToldFromKeysThatArePressedAgain(t *testing.T) {
	on, off := "note-on 1 60 64", "note-off 1 60 64"
	for name, c := range map[string]struct {
		heard    []heardAt
		bouncing []coverBounce
		repeated []coverStrokes
	}{
		"a stroke":          {[]heardAt{{0, on}, {200, off}}, nil, nil},
		"a short one":       {[]heardAt{{0, on}, {10, off}}, nil, nil},
		"it bounces down":   {[]heardAt{{0, on}, {2, off}, {3.5, on}, {200, off}}, []coverBounce{{"manual C4", 1, 3.5}}, nil},
		"it bounces up":     {[]heardAt{{0, on}, {200, off}, {204, on}, {205, off}}, []coverBounce{{"manual C4", 1, 5}}, nil},
		"it bounces often":  {[]heardAt{{0, on}, {1, off}, {2, on}, {3, off}, {4, on}, {200, off}}, []coverBounce{{"manual C4", 1, 4}}, nil},
		"twice, the longer": {[]heardAt{{0, on}, {1, off}, {2, on}, {200, off}, {207, on}, {208, off}}, []coverBounce{{"manual C4", 2, 8}}, nil},
		"pressed again":     {[]heardAt{{0, on}, {200, off}, {300, on}, {400, off}}, nil, []coverStrokes{{"manual C4", 2}}},
	} {
		t.Run(name, func(t *testing.T) {
			a := cover(t, c.heard).answer(time.Second, 0)
			require.Equal(t, append([]coverBounce{}, c.bouncing...), a.Bouncing)
			require.Equal(t, append([]coverStrokes{}, c.repeated...), a.Repeated)
			require.Contains(t, a.text(), "manual                 1 of   5\n")
		})
	}
}

func TestAllThatIsWorkedEndsTheSheet(t *testing.T) {
	heard := append(strokes("C4", "C#4", "D4", "D#4", "E4"), []heardAt{
		{2000, "note-on 15 0 127"}, {2100, "note-off 15 0 64"}, {2200, "note-on 16 0 127"}, {2300, "note-off 16 0 64"},
		{2400, "control-change 1 4 0"}, {2500, "control-change 1 4 127"}, {2600, "control-change 2 4 0"}, {2700, "control-change 2 4 127"},
	}...)
	require.False(t, cover(t, heard[:len(heard)-1]).isAll())
	c := cover(t, heard)
	require.True(t, c.isAll())
	a := c.answer(3*time.Second, 0)
	require.Equal(t, 11, a.Worked)
	require.False(t, a.good(), "a stop has no message")
	a.Unmapped = nil
	require.True(t, a.good())
	require.True(t, strings.HasPrefix(a.text(), "Bench: 11 of 11 worked in 3.0 s\n"))
}

func TestTheSheetIsAsItsSchemaSays(t *testing.T) {
	dir := t.TempDir()
	organ, bytes := filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "bytes")
	require.NoError(t, os.WriteFile(organ, []byte(coverOrgan), 0o600))
	require.NoError(t, os.WriteFile(bytes, []byte{0x90, 60, 1, 60, 0, 60, 1, 60, 0, 0xF4, 0x92, 60, 1, 0xB0, 4, 9, 0x90, 64, 1, 62, 1}, 0o600))
	var stdout, stderr strings.Builder
	require.Equal(t, exitBad, run([]string{"watch", "--in", "file:" + bytes, "--cover", organ, "--format", "json"}, strings.NewReader(""), &stdout, &stderr))
	require.Empty(t, stderr.String())
	requireValid(t, "cover", stdout.String())
	var a coverAnswer
	require.NoError(t, json.Unmarshal([]byte(stdout.String()), &a))
	require.Len(t, a.Bouncing, 1)
	require.Len(t, a.Disorder, 1)
	require.Len(t, a.Strange, 1)
	require.NotZero(t, a.Faults)
}
