package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the version",
		Example: "  trundle version",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, args []string) error {
			_, err := io.WriteString(cmd.OutOrStdout(), versionLine())
			return err
		},
	}
}

// versionLine is what `trundle version` and `trundle --version` print.
func versionLine() string {
	return fmt.Sprintf("trundle %s, %s %s/%s\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// version is the module's version or, in a build from a checkout, the commit.
func version() string {
	build, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown version"
	}
	if v := build.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	var commit, changed string
	for _, s := range build.Settings {
		switch {
		case s.Key == "vcs.revision":
			commit = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = " with changes"
		}
	}
	if commit == "" {
		return "from source"
	}
	return "from commit " + commit + changed
}
