package walk

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A coil of 150 ohms that pulls in at 8 V, by Ohm's law: 14 V less the volt of a driver
// draw 87 mA; at 60 C copper has 1.157 times the ohms (IEC 60028), 75 mA; 8 V draw 53 mA,
// which are left of 63 mA when the supply falls from 14 V to 12 V.
var coil = Step{ID: "valve", Phase: Valves, Good: Good, Amps: &Amps{Cold: 0.0867, Hot: 0.0749, One: 0.0867, Low: 0.0749 * 11 / 13, Needs: 0.0533 * 13 / 11}}

func TestAReadingIsHeldToWhatPullsInAndToWhatIsExpected(t *testing.T) {
	for line, c := range map[string]struct {
		want Verdict
		why  string
	}{
		"0A":    {Open, ""},
		"20mA":  {Weak, "under 0.063 A it does not pull in at the lowest volts of its supply; too little: a bad joint, a coil of more ohms, or low volts?"},
		"43mA":  {Weak, "under 0.063 A it does not pull in at the lowest volts of its supply; about half: a resistance in series, or half the volts?"},
		"60mA":  {Weak, "under 0.063 A it does not pull in at the lowest volts of its supply; too little: a bad joint, a coil of more ohms, or low volts?"},
		"75mA":  {Good, ""},
		"90mA":  {Good, ""},
		"100mA": {Wrong, "too much: a coil of fewer ohms, current to something else, or high volts?"},
		"130mA": {Wrong, "too much: a coil of fewer ohms, current to something else, or high volts?"},
		"173mA": {Bridged, ""},
	} {
		a, err := Read(coil, line)
		require.NoError(t, err, line)
		require.Equal(t, c.want, a.Verdict, line)
		require.Equal(t, c.why, a.Words, line)
	}
	// Where nothing is known of what pulls in, as little is wrong all the same.
	a, err := Read(short[4], "60mA")
	require.NoError(t, err)
	require.Equal(t, Wrong, a.Verdict)
}

// Beside others that are on, the one that is tried decides.
func TestAReadingOfSeveralIsHeldToTheOneThatIsTried(t *testing.T) {
	s := Step{ID: "valve", Good: Good, Amps: &Amps{Cold: 1.0, Hot: 0.9, One: 0.1, Low: 0.9}}
	for line, want := range map[string]Verdict{"0.8A": Open, "0.9A": Good, "1A": Good, "1.1A": Bridged} {
		a, err := Read(s, line)
		require.NoError(t, err, line)
		require.Equal(t, want, a.Verdict, line)
	}
}

func TestVoltsAreHeldToWhatIsExpected(t *testing.T) {
	for line, want := range map[string]string{
		"14V":   "good",
		"12.7V": "good",
		"9V":    "wrong too low",
		"16V":   "wrong too high",
		"-14V":  "wrong the wrong way round",
		"7V":    "weak under 8.0 V it does not pull in",
	} {
		a, err := Read(Step{ID: "full", Good: Good, Volts: 14, Needs: 8}, line)
		require.NoError(t, err, line)
		require.Equal(t, want, strings.TrimSpace(string(a.Verdict)+" "+a.Words), line)
	}
}

// Who says good of a reading that is not is asked again.
func TestGoodWithAReadingThatIsNotIsAskedAbout(t *testing.T) {
	_, err := Read(coil, "good 43mA")
	require.EqualError(t, err, "good, with 0.043 A, expected 0.087 A (0.063 to 0.095)? write the reading alone, accept WHY, or what is wrong")
	a, err := Read(coil, "good 80mA")
	require.NoError(t, err)
	require.Equal(t, Good, a.Verdict)
}
