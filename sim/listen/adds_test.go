package listen

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

// missing is the mistake that the table lacks the row that passes notes on to a line
// with a control.
func missing(t *testing.T, l *Listener, control, to string) (class, where string) {
	for _, s := range l.sites() {
		if s.Class == "row-missing" && s.In == "switching" {
			row := l.r.Switch[s.Row]
			if row.Kind == wiring.Couple && row.To == to && slices.ContainsFunc(row.Control, func(x wiring.Literal) bool { return x.Label == control && !x.Not }) {
				f := s.Named(0)
				return f.Class, f.Where
			}
		}
	}
	t.Fatal("no row asks " + control)
	return "", ""
}

// A coupler whose row is missing adds nothing: an octave coupler leaves what sounds
// without it, one between keyboards leaves silence.
func TestACouplerThatAddsNothing(t *testing.T) {
	l := saltmarsh(t)
	for _, x := range []struct{ control, to, text string }{
		{"great-octave", "great", "great octave adds nothing with great-flute-8"},
		{"choir-to-great-8", "choir", "choir-to-great-8 adds nothing"},
		{"choir-sub", "choir", "choir sub octave does nothing at C4"},
	} {
		symptoms, err := l.Read(x.text)
		require.NoError(t, err, x.text)
		q := l.Explain(symptoms)
		require.True(t, q.Whole, x.text)
		class, where := missing(t, l, x.control, x.to)
		is := func(c Cause) bool { return c.Fault.Class == class && c.Fault.Where == where }
		require.True(t, slices.ContainsFunc(q.Causes, is), x.text)
	}
}

// Asked for a key with a coupler, who says that it adds nothing keeps the mistakes with
// which it does not.
func TestAnAnswerThatNothingIsAdded(t *testing.T) {
	l := saltmarsh(t)
	symptoms, err := l.Read("great octave C4 wrong with great-flute-8")
	require.NoError(t, err)
	q := l.Explain(symptoms)
	q.hear()
	class, where := missing(t, l, "great-octave", "great")
	try := q.pool.add(Try{l.draws(symptoms[0].cases[0].draw...), l.press(0, 62)})
	q.group()
	require.True(t, q.Answer(Question{Try: q.pool.tries[try], try: try}, Heard{Verdict: Nothing}))
	require.True(t, slices.ContainsFunc(q.Causes, func(c Cause) bool { return c.Fault.Class == class && c.Fault.Where == where }))
}
