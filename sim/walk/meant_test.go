package walk

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWhereNothingShouldSpeakSilenceIsGoodAndWhatSpeaksIsNot(t *testing.T) {
	for _, expect := range []string{silence, silence + ", nothing murmurs"} {
		s := Step{ID: "runs", Phase: Runs, Good: Good, Expect: expect}
		for line, want := range map[string]Verdict{
			"silent":                           Good,
			"dead":                             Good,
			"Dead silent.":                     Good,
			"nothing":                          Good,
			"quiet":                            Good,
			"no murmur":                        Good,
			"no sound at all":                  Good,
			"nothing speaks":                   Good,
			"nothing speaks, nothing murmurs":  Good,
			"good, nothing murmurs":            Good,
			"y":                                Good,
			"speaks":                           Sounds,
			"speaks at C4":                     Sounds,
			"ciphers":                          Sounds,
			"c":                                Sounds,
			"faint":                            Faint,
			"murmurs":                          Other,
			"hums":                             Other,
			"C4 ciphers softly":                Sounds,
			"runs":                             Other,
			"it speaks":                        Other,
			"C4 murmurs":                       Other,
			"other nothing works but the reed": Other,
			"accept C4 murmurs":                Accept,
			"skip":                             Skipped,
		} {
			a, err := Read(s, line)
			require.NoError(t, err, line)
			require.Equal(t, want, a.Verdict, line)
		}
		for _, line := range []string{"s", "n", "no", "d", "nothing speaks but C4", "nothing murmurs, speaks", "dead at C4", "speaks not", "not silent", "good, C4 murmurs", "good, runs", "no good", "nothing is silent"} {
			_, err := Read(s, line)
			require.Error(t, err, line)
		}
	}
}

func TestWhereSomethingShouldSpeakDeadIsNoGood(t *testing.T) {
	for line, want := range map[string]Verdict{"speaks": Speaks, "s": Speaks, "dead": Dead, "n": Dead, "ciphers": Sounds} {
		a, err := Read(Step{ID: "pipe", Phase: Pipes, Good: Speaks, Expect: "it speaks, it alone, and stops"}, line)
		require.NoError(t, err, line)
		require.Equal(t, want, a.Verdict, line)
	}
	_, err := Read(short[5], "silent")
	require.Error(t, err)
}

func TestWhatIsExpectedIsGoodInItsOwnWords(t *testing.T) {
	valve, leg := coil, Step{ID: "leg", Phase: Legs, Good: Good, Expect: through}
	valve.Expect = oneClick
	piston := Step{ID: "piston", Phase: Pistons, Good: Good, Expect: "no knob moves"}
	key := Step{ID: "key", Phase: Inputs, Good: Good, Expect: "it comes, it alone, and goes"}
	pipe := Step{ID: "pipe", Phase: Pipes, Good: Speaks, Expect: "it speaks, it alone, and stops"}
	for _, c := range []struct {
		step Step
		line string
		want Verdict
	}{
		{valve, "one click", Good},
		{valve, "it clicks", Good},
		{valve, "Click.", Good},
		{valve, "one click, 87mA", Good},
		{valve, "good, one click", Good},
		{valve, "no click", Dead},
		{valve, "dead, no click", Dead},
		{valve, "two clicks", Other},
		{valve, "clicks twice", Other},
		{leg, "beep", Good},
		{leg, "it beeps", Good},
		{leg, "through", Good},
		{leg, "through, and to no other wire", Good},
		{leg, "good 0.4 ohms", Good},
		{leg, "open, 2 Mohm", Open},
		{leg, "good, no other wire", Good},
		{leg, "beeps to wire 4 too", Other},
		{piston, "no knob moves", Good},
		{piston, "good, no knob moves", Good},
		{piston, "two knobs move", Other},
		{valve, "buzzes", Weak},
		{valve, "it hums", Weak},
		{valve, "clicks, then chatters", Weak},
		{valve, "sticks", Sounds},
		{valve, "weak click", Weak},
		{valve, "slow", Wrong},
		{pipe, "it ciphers", Sounds},
		{pipe, "ciphers after the key is up", Sounds},
		{pipe, "slow speech", Wrong},
		{pipe, "Quick.", Wrong},
		{pipe, "buzzes", Wrong},
		{pipe, "very soft", Faint},
		{pipe, "C4 is weak", Faint},
		{key, "the spring is weak", Other},
		{pipe, "hums and is slow", Wrong},
		{pipe, "it ciphers and is slow", Other},
		{pipe, "squeals like a kettle", Other},
	} {
		a, err := Read(c.step, c.line)
		require.NoError(t, err, c.line)
		require.Equal(t, c.want, a.Verdict, c.line)
	}
	for line, want := range map[string]string{
		"one click, 43mA": "good, with 0.043 A, expected 0.087 A (0.063 to 0.095)? write the reading alone, accept WHY, or what is wrong",
		"good, no click":  `"good, no click": is it good or not? write one of the two`,
		"ok, not a click": `"ok, not a click": is it good or not? write one of the two`,
	} {
		_, err := Read(valve, line)
		require.EqualError(t, err, want, line)
	}
	for line, want := range map[string]string{
		"it does not cipher": `"it does not cipher": is it good or not? write good, ciphers, or what is wrong`,
		"no hum":             `"no hum": is it good or not? write good, wrong, or what is wrong`,
	} {
		_, err := Read(pipe, line)
		require.EqualError(t, err, want, line)
	}
	for line, want := range map[string]string{
		"40 ohms":       "40 ohms: is that through, and to no other wire? write good 40 ohms if it is, or other 40 ohms",
		"to other wire": "to other wire: is that through, and to no other wire? write good to other wire if it is, or other to other wire",
	} {
		_, err := Read(leg, line)
		require.EqualError(t, err, want, line)
	}
}

func TestAReadingOfWhichNothingIsKnownIsTakenAndItsVerdictAskedFor(t *testing.T) {
	a, err := Read(Step{ID: "fuse", Phase: Fuses, Good: Good, Expect: "what the electronics take, and no amps of magnets"}, "0.3 A")
	require.ErrorIs(t, err, ErrTaken)
	require.EqualError(t, err, "0.3 A is taken: is that what the electronics take, and no amps of magnets? write good, or what is wrong")
	require.InDelta(t, 0.3, *a.Amps, 1e-12)
}
