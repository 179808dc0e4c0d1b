package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestLinesAreFoldedBetweenWords(t *testing.T) {
	for line, want := range map[string]string{
		"692 of 1279: turn on valve nasat:23":             "692 of 1279: turn on\n  valve nasat:23",
		"  expect: one click and no more of":              "  expect: one click\n    and no more of",
		"\x1b[1;31m  expect: one click\x1b[m and no more": "\x1b[1;31m  expect: one click\x1b[m\n    and no more",
		"  ?  show this and more":                         "  ?  show this and\n     more",
		"short":                                           "short",
		"":                                                "",
		"sha256:0123456789abcdef012345":                   "sha256:0123456789abcdef012345",
		"管 管管管管管管管管管":                                     "管\n  管管管管管管管管管",
	} {
		require.Equal(t, want, fold(line, 20), line)
	}
	require.Equal(t, "a line for a terminal of no width", fold("a line for a terminal of no width", 0))
}

// Nothing is lost, and no line is longer than the terminal unless a word is.
func TestFoldingLosesNothing(t *testing.T) {
	word := rapid.StringMatching(`[a-z:]{1,15}`)
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(word).Draw(t, "words")
		width := rapid.IntRange(20, 40).Draw(t, "width")
		text := strings.Join(words, " ")
		var b strings.Builder
		f := &folding{w: &b, width: func() int { return width }}
		for _, c := range []byte(text + "\n") {
			_, err := f.Write([]byte{c})
			require.NoError(t, err)
		}
		require.Equal(t, strings.Fields(text), strings.Fields(b.String()))
		for line := range strings.Lines(b.String()) {
			if len(strings.Fields(line)) > 1 {
				require.LessOrEqual(t, len(strings.TrimSuffix(line, "\n")), width)
			}
		}
	})
}
