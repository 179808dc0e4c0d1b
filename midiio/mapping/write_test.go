package mapping

import (
	"testing"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"
)

// A map that is written and read is the same map.
func TestAMapIsReadAsItIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, m := load(t, sections().Draw(t, "section"))
		text := m.Text()
		_, again := load(t, text)
		require.Equal(t, forms(m), forms(again), text)
		require.Equal(t, text, again.Text())
	})
}

// forms are the messages of every thing, in both ways.
func forms(m *Map) map[Thing][]string {
	all := map[Thing][]string{}
	for _, e := range m.Entries {
		all[e.Thing] = []string{e.forms[ToOrgan].String(), e.forms[ToConsole].String(), e.every.String()}
	}
	return all
}

func TestRulesAreWrittenForWhatFollows(t *testing.T) {
	for name, section := range map[string]string{
		"a group":             "  controls:\n    stops: notes from 36 on channel 10\n    choir-off: note 1 on channel 10\n",
		"a run":               "  controls:\n    principal-8..flute-8: notes from 36/2 on channel 10\n    flute-4: note 99 on channel 10\n",
		"on and off":          "  controls:\n    stops: {on: programs from 0 on channel 1, off: programs from 64 on channel 1}\n",
		"values":              "  controls:\n    stops: {on: bytes B0 50 nn from 1/3, off: bytes B0 51 nn from 1/3}\n",
		"no run of two kinds": "  controls:\n    flute-8: controller 100 on channel 1\n    flute-4: nrpn 5 on channel 1\n",
		"bytes":               "  buttons:\n    all: bytes F0 7D nn .. F7 from 3\n",
		"lamps":               "  controls:\n    stops: {message: notes from 36 on channel 10, lamp: controllers from 0 on channel 10}\n",
		"presses":             "  controls:\n    stops: {press: notes from 36 on channel 10}\n",
		"one way":             "  controls:\n    stops: {message: notes from 36 on channel 10, way: to-console}\n",
		"keyboards":           "  keys:\n    great: {channel: 1, second: 2}\n    choir: {channel: 3, lowest: 0, way: both}\n    pedal: channel 4\n",
		"parameters":          "  valves:\n    principal: channel 1\n    flute: nrpns from 300 on channel 2\n    trumpet: nrpns from 420 on channel 2\n",
		"all valves":          "  valves:\n    all: {channel: 3, first: 5, way: both}\n",
		"lines, valves":       "  lines:\n    choir: {channel: 1, lowest: 10}\n  valves:\n    flute: channel 2\n    trumpet: {channel: 3, way: to-console}\n",
		"shoes and speed":     "  shoes:\n    swell: {message: controller 4 on channel 1, fine: true, hysteresis: 0, every: 1ms}\n    crescendo: bytes F0 7D .. F7\n  crescendo: {message: nrpn 5 on channel 1, way: to-organ}\n  baud: none\n  slow: {chord: 5ms, general: never, sweep: 1s}\n",
	} {
		t.Run(name, func(t *testing.T) {
			_, m := load(t, section)
			require.Equal(t, section, m.Text())
		})
	}
}
