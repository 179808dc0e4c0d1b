package main

import (
	"bytes"
	"io"
	"os"
	"regexp"
	"strings"

	"github.com/rivo/uniseg"
	"golang.org/x/term"
)

// folding writes lines to a terminal so that words are not broken at its edge. What
// has no line end yet waits for it.
type folding struct {
	w     io.Writer
	width func() int // of the terminal now, in cells; 0 where it is not known
	rest  []byte
}

// folded is w itself where that is no terminal.
func folded(w io.Writer) io.Writer {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return w
	}
	return &folding{w: w, width: func() int {
		width, _, err := term.GetSize(int(f.Fd()))
		if err != nil {
			return 0
		}
		return width
	}}
}

func (f *folding) Write(text []byte) (int, error) {
	f.rest = append(f.rest, text...)
	end := bytes.LastIndexByte(f.rest, '\n') + 1
	if end == 0 {
		return len(text), nil
	}
	lines := strings.Split(string(f.rest[:end-1]), "\n")
	f.rest = append([]byte(nil), f.rest[end:]...)
	width := f.width()
	for i, line := range lines {
		lines[i] = fold(line, width)
	}
	if _, err := io.WriteString(f.w, strings.Join(lines, "\n")+"\n"); err != nil {
		return 0, err
	}
	return len(text), nil
}

// narrowest is the width under which lines are left to the terminal.
const narrowest = 20

var inked = regexp.MustCompile("\x1b\\[[0-9;]*m")

// firstColumn is a first column, and the room behind it.
var firstColumn = regexp.MustCompile(`^ *\S+( \S+)*  +`)

// fold breaks a line between words where it would not fit. What follows stands below
// the second column where the line has two, else a little deeper. Colours take no room.
func fold(line string, width int) string {
	if width < narrowest {
		return line
	}
	plain := inked.ReplaceAllString(line, "")
	deeper := strings.Repeat(" ", len(plain)-len(strings.TrimLeft(plain, " "))+2)
	if at := firstColumn.FindStringIndex(plain); at != nil && at[1] <= width/2 {
		deeper = strings.Repeat(" ", at[1])
	}
	var b strings.Builder
	column, fresh := 0, true // fresh: no word stands in this line yet
	for i, word := range strings.Split(line, " ") {
		cells := uniseg.StringWidth(inked.ReplaceAllString(word, ""))
		switch {
		case i == 0:
		case !fresh && column+1+cells > width:
			b.WriteString("\n" + deeper)
			column = len(deeper)
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += cells
		fresh = fresh && cells == 0
	}
	return b.String()
}
