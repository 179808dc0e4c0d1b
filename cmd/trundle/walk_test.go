package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWorksheetsAreAsTheirSchemaSays(t *testing.T) {
	var stdout, stderr bytes.Buffer
	code := run([]string{"walk", "examples/saltmarsh/organ.yaml", "--relay", "examples/currents/relay.yaml", "--worksheet", "--format", "json"}, nil, &stdout, &stderr)
	require.Equal(t, exitGood, code, stderr.String())
	requireValid(t, "walk", stdout.String())
}
