package main

import (
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"
)

func TestEveryCommandHasAnExample(t *testing.T) {
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		require.NotEmpty(t, c.Example, c.CommandPath())
		require.NotEmpty(t, c.Short, c.CommandPath())
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(rootCommand())
}
