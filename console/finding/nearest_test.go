package finding_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
)

// A slip of the pen differs in up to about a third of its letters; what differs
// in more is another word, and to offer it would mislead.
func TestNearestOffersOnlyWhatASlipOfThePenCanBe(t *testing.T) {
	for _, c := range []struct{ name, known, want string }{
		{"divison", "division", "division"},
		{"grate", "great", "great"},
		{"gerat", "great", "great"},
		{"K1", "K2", "K2"},
		{"unison-off", "action-off", ""},
		{"pipes", "ranks", ""},
		{"crescendo", "clear", ""},
		{"", "ab", ""},
	} {
		require.Equal(t, c.want, finding.Nearest(c.name, []string{c.known}), c.name)
	}
	require.Equal(t, "great-2", finding.Nearest("great-9", []string{"choir-2", "great-2", "great-3"}), "of equals the first")
	require.Equal(t, "X1", finding.Nearest("x1", []string{"J1", "X1"}), "capitals alone are no other name")
	require.Equal(t, "did you mean great?", finding.DidYouMean("grate", []string{"pedal", "great"}))
	require.Empty(t, finding.DidYouMean("echo", []string{"pedal", "great"}))
}
