package mapping

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
)

// A byte takes 10 bits of 31,250 baud, 320 µs; with running status a note is
// two bytes behind one status byte of its channel (MIDI 1.0). So ten keys of
// one manual are 21 bytes and 6.72 ms, and five on each of two 22 and 7.04 ms.
func TestChordsOnACableTakeWhatTheirBytesDo(t *testing.T) {
	for name, c := range map[string]struct {
		section string
		bytes   int
		time    time.Duration
	}{
		"ten keys of a manual":       {"  keys: {great: channel 1}\n", 21, 6720 * time.Microsecond},
		"five of each of two":        {"  keys: {great: channel 1, choir: channel 2}\n", 22, 7040 * time.Microsecond},
		"four notes of the pedal":    {"  keys: {pedal: channel 1}\n", 9, 2880 * time.Microsecond},
		"a faster link":              {"  baud: 312500\n  keys: {great: channel 1}\n", 21, 672 * time.Microsecond},
		"lines of a coupled manual":  {"  lines: {choir: channel 1}\n", 21, 6720 * time.Microsecond},
		"the unison of two channels": {"  keys: {great: channel 1}\n  lines: {great: channel 2}\n", 42, 13440 * time.Microsecond},
	} {
		t.Run(name, func(t *testing.T) {
			_, m := load(t, c.section)
			chord := m.Times()[0]
			require.Equal(t, c.bytes, chord.Bytes)
			require.Equal(t, c.time, chord.Time)
		})
	}
}

// Four stops, a coupler, a unison off and a tremulant are 15 bytes as notes of
// one channel, 4.8 ms, and four bytes each as bytes of a manufacturer's own.
func TestAGeneralTakesWhatItsControlsDo(t *testing.T) {
	for section, bytes := range map[string]int{
		"  controls: {all: notes from 0 on channel 15}\n":                             15,
		"  controls: {all: nrpns from 0 on channel 15}\n":                             1 + 7*6,
		"  controls: {all: bytes F0 7D nn .. F7 from 0}\n":                            7 * 5,
		"  controls: {stops: notes from 0 on channel 15}\n":                           9,
		"  buttons: {all: notes from 0 on channel 16}\n":                              0,
		"  controls: {all: {way: to-console, message: notes from 0 on channel 15}}\n": 15,
	} {
		_, m := load(t, section)
		general := m.Times()[1]
		require.Equal(t, bytes, general.Bytes, section)
		require.Equal(t, time.Duration(bytes)*320*time.Microsecond, general.Time)
	}
}

// A sweep in which the shoe says a position every 20 ms and stages are not
// mapped: 51 messages of two bytes and one status, none of which waits.
func TestASweepSaysTheShoeNoOftenerThanItsRate(t *testing.T) {
	_, m := load(t, "  shoes: {crescendo: controller 4 on channel 2}\n")
	sweep := m.Times()[2]
	require.Less(t, sweep.Bytes, 2*(1000/20+1)+2)
	require.Greater(t, sweep.Bytes, 2*(1000/20)/2)
	require.LessOrEqual(t, sweep.Time, 3*320*time.Microsecond)
}

func TestASlowLinkIsAFindingAtTheLineThatCausesMost(t *testing.T) {
	in := parse(t, "  valves: {flute: channel 3}\n  keys: {great: channel 1}\n  slow: {chord: 1ms, general: never, sweep: 1s}\n")
	m, found := Load(in)
	require.Empty(t, found)
	found = m.Slow()
	require.Len(t, found, 1)
	require.Equal(t, "link-slow", found[0].Rule)
	require.Equal(t, finding.Place{File: "organ.yaml", Line: strings.Count(organ, "\n") + 2, Column: 12}, found[0].Place, "the line of valves")
	m, _ = Load(parse(t, "  valves: {flute: channel 3}\n  baud: none\n"))
	require.Empty(t, m.Slow())
	m, _ = Load(parse(t, ""))
	require.Empty(t, m.Slow(), "nobody has said that there is a link")
}

// Held keys are two hands that span an octave each, and four of the pedal.
func TestTheWorstChordCanBeHeld(t *testing.T) {
	_, m := load(t, "  keys: {great: channel 1, choir: channel 2, pedal: channel 3}\n  lines: {choir: channel 4}\n")
	by := map[int][]console.Note{}
	for _, k := range m.worstChord() {
		by[k.Keyboard] = append(by[k.Keyboard], k.Note)
	}
	require.Len(t, by[2], 4)
	require.Len(t, append(by[0], by[1]...), 10)
}
