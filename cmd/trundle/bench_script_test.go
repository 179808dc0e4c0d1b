package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAQuestionOfAScriptIsAnsweredInTheWordsOfAWalk(t *testing.T) {
	for _, c := range []struct{ question, line, want string }{
		{"does it speak?", "good", "y"}, {"does it speak?", "ok", "y"}, {"does it speak?", "speaks", "y"}, {"does it speak?", "yes it does", "y"},
		{"does it speak?", "Y", "y"}, {"does it speak?", "no", "no"}, {"does it speak?", "dead", "dead"}, {"does it speak?", "C4 sounds D4", "C4 sounds D4"},
		{"does it speak?", nobodyAnswered, nobodyAnswered},
		{"is it silent?", "silent", "y"}, {"is it silent?", "speaks", "speaks"}, {"is it silent?", "no", "no"},
	} {
		words, err := answerTo(c.question, c.line)
		require.NoError(t, err, c.line)
		require.Equal(t, c.want, words, c.line)
	}
	for _, line := range []string{"", "?", "perhaps", "ja gut", "skip", "0.1A"} {
		_, err := answerTo("does it speak?", line)
		require.Error(t, err, line)
	}
}
