package desk

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

var update = flag.Bool("update", false, "write the screens as they are, to be looked at before they are kept")

// The whole screen in one state, which has every sign of a key in it.
func TestTheWholeScreen(t *testing.T) {
	for name, size := range map[string][2]int{"80x24": {80, 24}, "160x50": {160, 50}} {
		t.Run(name, func(t *testing.T) {
			in := threeManuals(t)
			m := New(in, Options{})
			m.Resize(size[0], size[1])
			for _, line := range log(t, in,
				"0 draw great-harmonic-flute-8-stop", "0 draw swell-oboe-8-stop", "0 draw positive-gedackt-8-stop", "0 draw swell-to-great-4", "0 draw positive-to-great-8",
				"0 draw great-off", "0 key great C4 down", "0 key great E4 down", "0 key great G4 down", "0 key pedal C2 down", "0 draw pedal-flute-8-stop",
				"0 draw pedal-subbass-16-stop", "0 key pedal C3 down", "0 shoe swell-shoe 8192") {
				m.do(line.Event)
			}
			m.moveTo(Item{KeyItem, 1, 64})
			m.toKeyboard(1)
			path := "testdata/" + name + ".txt"
			if *update {
				require.NoError(t, os.WriteFile(path, []byte(screenOf(m)), 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(want), screenOf(m))
			require.True(t, m.console.Machine().Held(console.Key{Keyboard: 1, Note: 64}))
		})
	}
}
