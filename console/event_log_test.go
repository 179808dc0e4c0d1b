package console_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

func TestLogsReadTimesExactly(t *testing.T) {
	in := parse(t, small)
	for text, want := range map[string]time.Duration{
		"0":           0,
		"12":          12 * time.Second,
		"0.1":         100 * time.Millisecond,
		"1.000000001": time.Second + 1,
		"0.30":        300 * time.Millisecond,
	} {
		log, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+text+" tick\n"))
		require.Empty(t, findings)
		require.Equal(t, want, log[0].At, text)
	}
	for _, text := range []string{"-1", "1.", "1.0000000001", ".5", "1e3", "9999999999", "0x1", "1,5"} {
		_, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+text+" tick\n"))
		require.Len(t, findings, 1, text)
	}
}

func TestLogErrorsNameTheirPlaceInCharacters(t *testing.T) {
	in := parse(t, small)
	_, findings := console.ParseLog(in, "log", []byte("\ufeff# Übung\n\n"+console.LogHead+"\r\n  1\t key  ü C4 down\r\n"))
	require.Len(t, findings, 1)
	require.Equal(t, "log:4:11", findings[0].Place.String())
	require.Equal(t, "no keyboard ü", findings[0].Message)
}

// What is printed of a log must not act on a terminal, and blanks of every kind
// are counted as they part the words.
func TestLogsAreText(t *testing.T) {
	in := parse(t, small)
	for text, want := range map[string]string{
		"0 dr\x1b[31maw x":                  "log:2:5: the control character U+001B, so this is no text file in UTF-8",
		"0 draw \xff":                       "log:2:8: a byte that begins no character, so this is no text file in UTF-8",
		"0\u00a0key\u2003great C4 sideways": `log:2:16: "sideways" is none of up, down, deep`,
	} {
		log, findings := console.ParseLog(in, "log", []byte(console.LogHead+"\n"+text+"\n"))
		require.Nil(t, log)
		require.Len(t, findings, 1)
		require.Equal(t, want, findings[0].Place.String()+": "+findings[0].Message)
	}
}

// Whatever a log says, reading it does not panic; what can be read is written
// back as the same events, and the machine does or refuses each of them.
func FuzzParseLog(f *testing.F) {
	for _, text := range []string{
		"0 key great C4 down", "0.5 key great C4 deep midi", "0 draw flute-8", "0 shoe swell-shoe 100", "0 stage 2", "0 sequence 1", "0 tutti on",
		"0 transpose -2", "0 speed shake 2", "0 tick", "0 obey on", "0 memory 3", "0 lock 3 on", "0 copy 1 2", "0 saved 1", "0 save-failed 1 no space left",
		"0 key great 9999999 down", "0 key great", "0 press x", "0 copy 1/x 2", "0 undo\n1 undo", "0 speed shake 99999999999",
	} {
		f.Add(console.LogHead + "\n" + text + "\n")
	}
	in, findings := console.Parse("organ.yaml", []byte(small))
	require.NotNil(f, in, "%v", findings)
	f.Fuzz(func(t *testing.T, text string) {
		log, findings := console.ParseLog(in, "log", []byte(text))
		if len(findings) > 0 {
			require.Nil(t, log)
			return
		}
		written := []byte(console.LogHead + "\n")
		m := console.NewMachine(in)
		var effects []console.Effect
		for _, e := range log {
			written = in.AppendTimed(written, e)
			effects = m.Do(effects, e.At, e.Event)
		}
		again, findings := console.ParseLog(in, "log", written)
		require.Empty(t, findings)
		require.Equal(t, len(log), len(again))
		for i := range log {
			require.Equal(t, log[i], again[i])
		}
		for _, effect := range effects {
			require.Equal(t, 1, strings.Count(string(in.AppendEffect(nil, effect)), "\n"))
		}
	})
}
