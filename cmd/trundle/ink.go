package main

import (
	"io"
	"os"

	"golang.org/x/term"
)

// ink colours text, or leaves it as it is. Colour only repeats what the words
// say already.
type ink bool

// inkFor is coloured on a terminal, unless NO_COLOR is set to anything.
func inkFor(w io.Writer) ink {
	f, ok := w.(*os.File)
	return ink(ok && term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "")
}

func (i ink) bold(s string) string   { return i.paint("1", s) }
func (i ink) red(s string) string    { return i.paint("1;31", s) }
func (i ink) yellow(s string) string { return i.paint("1;33", s) }
func (i ink) cyan(s string) string   { return i.paint("1;36", s) }
func (i ink) green(s string) string  { return i.paint("1;32", s) }

func (i ink) paint(code, s string) string {
	if !i {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[m"
}
