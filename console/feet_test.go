package console_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

func TestFootagesAreExact(t *testing.T) {
	for text, want := range map[string]console.Feet{
		"8": {8, 1}, "8'": {8, 1}, "10 2/3": {32, 3}, "2⅔": {8, 3}, "2 ⅔": {8, 3}, "2-2/3": {8, 3}, "1 1/3'": {4, 3}, "1 1/3’": {4, 3},
		"1/2": {1, 2}, "½": {1, 2}, "4/8": {1, 2}, "1 3/5": {8, 5}, "032": {32, 1}, "64": {64, 1},
	} {
		got, err := console.ParseFeet(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "0", "0/3", "1/0", "2 3/2", "8 foot", "-8", "8.5", "129", "128 1/2", "400/2", "2 2/3/4", "''", "2 2 /3", "eight", "⅔2", "1/⅔", "2⅔1", "⅔/2"} {
		_, err := console.ParseFeet(text)
		require.Error(t, err, text)
	}
	require.Empty(t, console.Feet{}.String())
}

func FuzzFeet(f *testing.F) {
	for _, seed := range []string{"8", "10 2/3", "2⅔", "1 1/3'", "2-2/3", "1/2", "999/999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		feet, err := console.ParseFeet(s)
		if err != nil {
			return
		}
		require.Positive(t, feet.Num)
		require.Positive(t, feet.Den)
		again, err := console.ParseFeet(feet.String())
		require.NoError(t, err, feet.String())
		require.Equal(t, feet, again)
		require.Zero(t, feet.Shift(feet))
	})
}
