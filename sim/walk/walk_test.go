package walk

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var short = []Step{
	{ID: "leg a", Phase: Legs, Group: "CX1", Good: Good}, {ID: "leg b", Phase: Legs, Group: "CX1", Good: Good}, {ID: "leg c", Phase: Legs, Group: "CX2", Good: Good},
	{ID: "supply", Phase: Supplies, Good: Good, Volts: 14},
	{ID: "valve", Phase: Valves, Good: Good, Amps: &Amps{Cold: 0.100, Hot: 0.085, One: 0.100, Low: 0.085}},
	{ID: "pipe", Phase: Pipes, Good: Speaks},
}

func TestAPhaseBeginsWhenTheOneBeforeIsAnswered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Begin(short, nil)
		for range rapid.IntRange(0, 30).Draw(t, "answers") {
			i, ok := w.Next()
			if !ok {
				break
			}
			for j, s := range short[:i] {
				if s.Phase == short[i].Phase {
					continue
				}
				a, answered := w.Last(j)
				require.True(t, answered, "%s comes before %s", s.ID, short[i].ID)
				require.False(t, s.Phase.Strict() && !a.Verdict.IsGood() && a.Verdict != Accept, "%s is wrong before %s", s.ID, short[i].ID)
			}
			require.NoError(t, w.Answer(Answer{Step: short[i].ID, Verdict: rapid.SampledFrom(Verdicts).Draw(t, "verdict")}))
		}
	})
}

func TestAWireThatIsOpenIsAskedForAgainUntilItIsMendedOrAccepted(t *testing.T) {
	for _, last := range []Verdict{Good, Accept} {
		w := Begin(short, []Answer{{Step: "leg a", Verdict: Open}, {Step: "leg b", Verdict: Good}, {Step: "leg c", Verdict: Good}})
		i, _ := w.Next()
		require.Equal(t, "leg a", short[i].ID)
		require.NoError(t, w.Answer(Answer{Step: "leg a", Verdict: last}))
		i, _ = w.Next()
		require.Equal(t, "supply", short[i].ID)
	}
}

func TestAWalkGoesOnWhereItEnded(t *testing.T) {
	w := Begin(short, []Answer{{Step: "leg a", Verdict: Dead}, {Step: "leg a", Verdict: Good}, {Step: "gone", Verdict: Good}})
	i, ok := w.Next()
	require.True(t, ok)
	require.Equal(t, "leg b", short[i].ID)
	require.Equal(t, Done{Good: 1}, w.Done())
	rest, measured := w.Rest(1)
	require.Equal(t, []int{1}, rest, "the rest of its cable")
	require.Empty(t, measured)
	rest, measured = w.Rest(3)
	require.Empty(t, rest, "a supply asks for its volts")
	require.Equal(t, []int{3}, measured)
	magnet := []Step{coil, {ID: "b", Phase: coil.Phase, Group: coil.Group}}
	rest, measured = Begin(magnet, nil).Rest(0)
	require.Equal(t, []int{1}, rest)
	require.Equal(t, []int{0}, measured, "amps to compare are for a meter, whatever is heard")
	require.Error(t, w.Answer(Answer{Step: "gone"}))
}

// An answer counts for what was tried, which is more than the name of the step: what
// the wire leads to, and where the magnet hangs.
func TestAStepThatIsNotWhatItWasComesAgain(t *testing.T) {
	steps := []Step{{ID: "leg", Do: "X1.1 to valve flute:2", Sum: "b"}, {ID: "valve", Do: "turn on", Sum: "c"}, {ID: "pipe", Do: "play", Sum: "d"}, {ID: "sign", Sum: "s"}}
	w := Begin(steps, []Answer{
		{Step: "leg", Verdict: Good, Do: "X1.1 to valve flute:1"}, // of a record without sums
		{Step: "valve", Verdict: Good, Sum: "c"}, {Step: "valve", Verdict: Good, Sum: "x"},
		{Step: "pipe", Verdict: Good, Sum: "x"}, {Step: "pipe", Verdict: Good, Sum: "d"},
		{Step: "lamp", Verdict: Good}, {Step: "lamp", Verdict: Dead}, {Step: "sign", Verdict: Good, Sum: "s"},
	})
	require.Equal(t, []string{"leg", "valve", "sign"}, w.Again, "the last answer counts, if it is to what the step is now; who signed did so for what was then")
	require.Equal(t, []string{"lamp"}, w.Gone)
	require.Equal(t, 1, w.Done().Answered())
}

func TestLinesAreReadAsAnswers(t *testing.T) {
	valve, supply, pipe := short[4], short[3], short[5]
	for line, c := range map[string]struct {
		step Step
		want Verdict
	}{
		"y":                   {valve, Good},
		"good":                {pipe, Speaks},
		"dead":                {pipe, Dead},
		"W sounds D":          {pipe, Wrong},
		"f":                   {pipe, Faint},
		"c":                   {pipe, Sounds},
		"squeaks badly":       {pipe, Other},
		"other squeaks":       {pipe, Other},
		"faint, C2":           {pipe, Faint},
		"Dead: no click":      {pipe, Dead},
		"ok":                  {pipe, Speaks},
		"good.":               {pipe, Speaks},
		"93 mA":               {valve, Good},
		"wrong 14,2 V, warm":  {supply, Wrong},
		"accept tomorrow":     {pipe, Accept},
		"skip":                {pipe, Skipped},
		"0A":                  {valve, Open},
		"2mA":                 {valve, Open},
		"80mA":                {valve, Good},
		"0,1A":                {valve, Good},
		"200mA":               {valve, Bridged},
		"dead 0A":             {valve, Dead},
		"14.2V":               {supply, Good},
		"9V":                  {supply, Wrong},
		"-14V":                {supply, Wrong},
		"0.1A clicks twice":   {valve, Other},
		"0.1A no click heard": {valve, Dead},
		"93mA good":           {valve, Good},
		"93 mA, good":         {valve, Good},
		"14V wrong warm":      {supply, Wrong},
		"good slow":           {pipe, Speaks},
	} {
		a, err := Read(c.step, line)
		require.NoError(t, err, line)
		require.Equal(t, c.want, a.Verdict, line)
	}
	for _, line := range []string{"", "accept", "other", "0.1A", "12V"} {
		_, err := Read(pipe, line)
		require.Error(t, err, line)
	}
	a, err := Read(valve, "no click heard")
	require.NoError(t, err)
	require.Equal(t, "no click heard", a.Words)
	a, err = Read(valve, "faint, C2 only, 93 mA.")
	require.NoError(t, err)
	require.Equal(t, "C2 only,", a.Words)
	require.InDelta(t, 0.093, *a.Amps, 1e-12)
}

// A single word that is no verdict may be a slip, which must not be kept as what
// is wrong, or as good.
func TestASlipIsAskedAbout(t *testing.T) {
	for line, want := range map[string]string{
		"goood":     `"goood" is no verdict: did you mean good? write other goood if that is what is wrong`,
		"agian":     `"agian" is no verdict: did you mean again? write other agian if that is what is wrong`,
		"Chiphers":  `"Chiphers" is no verdict: did you mean ciphers? write other Chiphers if that is what is wrong`,
		"pass":      `"pass" is no verdict: write other pass if that is what is wrong; ? shows what can be said`,
		"93":        "93 of what? write 93mA, 93A or 93V",
		"14,2":      "14,2 of what? write 14,2mA, 14,2A or 14,2V",
		"G rattles": "G is a note, and a letter for good: write good rattles, or other G rattles",
		"C sounds":  "C is a note, and a letter for ciphers: write ciphers sounds, or other C sounds",
	} {
		_, err := Read(short[5], line)
		require.EqualError(t, err, want, line)
	}
}

func TestASentenceThatMayMeanTheOppositeIsAskedAbout(t *testing.T) {
	for line, want := range map[string]string{
		"looks good to me": `"looks good to me": is it good? write good if it is, other looks good to me if not`,
		"it is not right":  `"it is not right": is it good? write good if it is, other it is not right if not`,
		"good but slow":    `"good but slow": is it good? write good slow if it is, other slow if not`,
		"Good, but slow":   `"Good, but slow": is it good? write good slow if it is, other slow if not`,
		"no problem":       `"no problem": is it dead? write good, or dead and why`,
		"good but faint":   `"good but faint": is it good or not? write one of the two`,
		"y, dead at first": `"y, dead at first": is it good or not? write one of the two`,
		"wind is off":      `"wind is off" is what is asked for before; write what came of it: good, or what is wrong`,
	} {
		_, err := Read(short[4], line)
		require.EqualError(t, err, want, line)
	}
	for _, line := range []string{"squeaks when held", "other looks good but squeaks"} {
		a, err := Read(short[4], line)
		require.NoError(t, err, line)
		require.Equal(t, Other, a.Verdict, line)
	}
}

func TestTheDayIsSignedByAName(t *testing.T) {
	sign := Step{ID: "sign", Phase: Sign, Good: Good}
	a, err := Read(sign, "Ann Reed")
	require.NoError(t, err)
	require.Equal(t, Answer{Step: "sign", Verdict: Good, Words: "Ann Reed"}, a)
	_, err = Read(sign, "y")
	require.Error(t, err)
}

func FuzzLinesNeverPanic(f *testing.F) {
	f.Add("good 93mA x")
	f.Add("A")
	f.Fuzz(func(t *testing.T, line string) {
		for _, s := range short {
			if a, err := Read(s, line); err == nil {
				require.Contains(t, Verdicts, a.Verdict)
			}
		}
	})
}
