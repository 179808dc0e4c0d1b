package main

import (
	"errors"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"trundle": main, "desk-that-panics": deskThatPanics})
}

// Every script shows one behaviour of the command.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits CODE PROGRAM ARGUMENTS... runs a program and wants that exit code.
func exits(script *testscript.TestScript, negated bool, args []string) {
	if negated || len(args) < 2 {
		script.Fatalf("usage: exits CODE PROGRAM ARGUMENTS...")
	}
	want, err := strconv.Atoi(args[0])
	script.Check(err)
	got := 0
	if err := script.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			script.Check(err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		script.Fatalf("%s exited %d, want %d", args[1], got, want)
	}
}
