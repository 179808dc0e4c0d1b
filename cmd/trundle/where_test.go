package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A chest that two divisions play has a note line for each, and its rank an action
// for each: two ways to open a valve, four pins.
func TestAValveThatTwoDivisionsPlayIsOpenedInTwoWays(t *testing.T) {
	var stdout, stderr strings.Builder
	code := run([]string{"where", "../../sim/wiring/testdata/bench/relay.yaml", "gamba:2", "--format", "json"}, nil, &stdout, &stderr)
	require.Equal(t, exitGood, code, stderr.String())
	requireValid(t, "where", stdout.String())
	require.Contains(t, stdout.String(), `"opens":"gamba:2 has no magnet of its own: it opens where note echo/great C#4 meets action gamba/great, or note echo/choir C#4 meets action gamba/choir"`)
	for _, item := range []string{"echo/great", "echo/choir", "gamba/great", "gamba/choir"} {
		require.Contains(t, stdout.String(), `"item":"`+item+`"`)
	}
}
