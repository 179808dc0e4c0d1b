package walk

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAReadingMayHaveItsUnitInWordsAndAMetersOwn(t *testing.T) {
	leg, supply, valve := Step{ID: "leg", Phase: Legs, Good: Good, Expect: through}, short[3], coil
	valve.Expect = oneClick
	for _, c := range []struct {
		step Step
		line string
		want Verdict
	}{
		{supply, "13,8 Volt", Good}, {supply, "13.8 volts", Good}, {supply, "12 Volts", Wrong}, {supply, "13.8V", Good}, {supply, "13.8", Good},
		{valve, "87 milliamps", Good}, {valve, "0.087 amps", Good}, {valve, "0.087", Good}, {valve, "0,2", Bridged},
		{valve, "open circuit", Open}, {valve, "no current", Open}, {valve, "infinite", Open}, {valve, "not tried", Skipped}, {supply, "not tried, too late", Skipped},
		{leg, "1.2 ohms", Good}, {leg, "0,4Ω", Good}, {leg, "OL", Open}, {leg, "open circuit", Open}, {leg, "not tried", Skipped},
	} {
		a, err := Read(c.step, c.line)
		require.NoError(t, err, c.line)
		require.Equal(t, c.want, a.Verdict, c.line)
	}
	a, _ := Read(valve, "0.087")
	require.Equal(t, "taken as 0.087 A", a.Taken)
}

func TestWhatMayBeASlipIsAskedAboutBeforeItIsKept(t *testing.T) {
	for line, want := range map[string]string{
		"0.87A":    "0.87 A, ten times what is foretold: is the point right, and the unit? write yes, or the reading again",
		"87A":      "87 A, a thousand times what is foretold: is the point right, and the unit? write yes, or the reading again",
		"0.0087 A": "0.0087 A, a tenth of what is foretold: is the point right, and the unit? write yes, or the reading again",
		"ja gut":   `"ja gut" is not understood: is it what is wrong? write yes, or good if all is well`,
	} {
		_, err := Read(coil, line)
		require.EqualError(t, err, want)
		var q *Question
		require.ErrorAs(t, err, &q)
		require.False(t, q.Yes.Verdict.IsGood())
	}
	_, err := Read(coil, "87")
	var q *Question
	require.ErrorAs(t, err, &q)
	require.Equal(t, "87", q.Number)
	_, err = Read(coil, "OL")
	require.EqualError(t, err, "OL is no current where ohms are read, and too much where amps or volts are: write open, or bridged")
	_, err = Read(coil, "OL on the meter")
	require.Error(t, err)
}
