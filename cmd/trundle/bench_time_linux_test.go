package main

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
)

// A flood in which no message comes often ends the test too, with the reason once;
// the keys that were held are let go.
func TestAFloodOfAllSortsEndsATestOfTimes(t *testing.T) {
	dir := practice(t)
	link, kept := filepath.Join(dir, "cable"), filepath.Join(dir, "kept.txt")
	far := plug(t, link)
	heard := midiio.Listen(far, midiio.NewClock())
	program, stdout, stderr := startOn(t, link, "bench", "--time", filepath.Join(dir, "organ.yaml"), "--for", "1h", "--trips", "1000", "--yes",
		"--in", "serial:"+link, "--out", "serial:"+link, "--transcript", kept)
	var sent midiio.Keys
	hears := func() bool {
		for _, m := range heard.Take().Messages {
			sent.Hear(m.Message)
		}
		return sent.Any()
	}
	require.Eventually(t, hears, 20*time.Second, time.Millisecond, "nothing is pressed")
	var flood []byte
	for key := range byte(73) {
		flood = append(flood, 0x91, key, 64, 0x91, key, 0)
	}
	go func() {
		for err := error(nil); err == nil; { // until nobody reads any more
			_, err = far.Write(flood)
		}
	}()
	requireExit(t, exitBad, program.Wait())
	require.Equal(t, 1, strings.Count(stdout.String(), "not finished: it is flooded: "), "%s%s", stdout, stderr)
	require.Eventually(t, func() bool { return !hears() }, 20*time.Second, time.Millisecond, "it is not left silent")
	require.NoError(t, heard.Close())
	require.Less(t, len(read(kept)), 10<<20)
}
