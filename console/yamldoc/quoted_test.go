package yamldoc_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console/yamldoc"
)

func TestTextIsReadAsItWasWritten(t *testing.T) {
	word := rapid.OneOf(rapid.SampledFrom([]string{"null", "Yes", "off", "~", "012", "1e5", "0x1F", "2001-01-01", "1:30", "'", "a: b", "a #b", "- a", "2 2/3", "=gone", "!x", "&a", "*a", "", " a ", "é♯"}),
		rapid.StringOf(rapid.RuneFrom([]rune("aZ09 :#-'\"./\\,[]{}&*!|>%@`?~=é\u200b\U0001F3B9"))))
	rapid.Check(t, func(t *rapid.T) {
		text := word.Draw(t, "text")
		for _, file := range []string{"k: " + yamldoc.Quoted(text), "k: {a: " + yamldoc.Quoted(text) + ", b: c}", "k: [" + yamldoc.Quoted(text) + "]"} {
			root, source := yamldoc.Parse("file.yaml", []byte(file))
			require.Empty(t, source.Findings, file)
			n := root.Get("k")
			switch n.Kind {
			case yamldoc.Map:
				n = n.Get("a")
			case yamldoc.List:
				n = n.Items[0]
			}
			require.Equal(t, text, n.Text, file)
		}
	})
}
