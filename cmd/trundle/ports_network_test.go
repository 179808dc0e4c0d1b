package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever the network of this computer answers, or if it has none.
func TestSessionsThatAreAskedForAreListedAsTheSchemaSays(t *testing.T) {
	var stdout, stderr strings.Builder
	require.Equal(t, exitGood, run([]string{"ports", "--discover", "--format", "json"}, strings.NewReader(""), &stdout, &stderr), stderr.String())
	requireValid(t, "ports", stdout.String())
}

func TestASessionIsListedWithWhatItCallsItself(t *testing.T) {
	var b strings.Builder
	require.NoError(t, portsAnswer{Ports: []portAnswer{{"network:192.0.2.9:5004", true, true, "Choir organ"}, {"midi:Keys", true, false, ""}}}.text(&b))
	require.Contains(t, b.String(), "network:192.0.2.9:5004               in and out  Choir organ\nmidi:Keys                            in\n")
}
