package voices

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// soundfont is of General MIDI (Debian's timgm6mb-soundfont).
const soundfont = "/usr/share/sounds/sf2/TimGM6mb.sf2"

// FluidSynth plays what we write, and SoX finds the fundamental where the
// pitches of pipes are: 8 foot C is 65.4 Hz (equal temperament from 440 Hz).
func TestASynthesizerPlaysPipesAtTheirPitch(t *testing.T) {
	for _, program := range []string{"fluidsynth", "sox"} {
		if _, err := exec.LookPath(program); err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
			t.Skipf("%s is not installed; with TRUNDLE_PEERS=1 it must be", program)
		}
	}
	for name, x := range map[string]struct {
		rank string
		hz   float64
	}{
		"8 foot C":                   {"feet: 8", 65.406},
		"16 foot C":                  {"feet: 16", 32.703},
		"2 2/3 foot C, a pure fifth": {"feet: 2 2/3", 3 * 65.406},
		"bent by 40 cents":           {"feet: 8, cents: 40", 65.406 * 1.02337},
		"bent down by 40 cents":      {"feet: 8, cents: -40", 65.406 / 1.02337},
	} {
		t.Run(name, func(t *testing.T) {
			in := instrument(t, "ranks: {flute: {division: manual, family: flute, "+x.rank+", pipes: 12}}")
			data, err := Chord(in, []int{0}).Bytes()
			require.NoError(t, err)
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "c.mid"), data, 0o644))
			run(t, dir, "fluidsynth", "-ni", "-F", "c.wav", "-r", "48000", soundfont, "c.mid")
			run(t, dir, "sox", "c.wav", "-r", "1000", "-c", "1", "low.wav", "trim", "0.5", "3")
			got := fundamental(t, run(t, dir, "sox", "low.wav", "-n", "stat", "-freq"), x.hz)
			require.InEpsilon(t, x.hz, got, 0.01)
		})
	}
}

func run(t *testing.T, dir, program string, args ...string) []byte {
	cmd := exec.Command(program, args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	return out
}

// fundamental is where most power is, within a third of an octave.
func fundamental(t *testing.T, spectrum []byte, near float64) (at float64) {
	most := 0.0
	lines := bufio.NewScanner(bytes.NewReader(spectrum))
	for lines.Scan() {
		var hz, power float64
		if n, _ := fmt.Sscan(lines.Text(), &hz, &power); n == 2 && hz > near*0.8 && hz < near*1.25 && power > most {
			at, most = hz, power
		}
	}
	require.NotZero(t, most)
	return at
}
