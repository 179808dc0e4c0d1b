package desk

import (
	"unicode/utf8"

	"github.com/gdamore/tcell/v2"
)

// newScreen is the screen of the process's terminal, of which tcell reads whole
// characters only.
func newScreen() (tcell.Screen, error) {
	tty, err := tcell.NewDevTty()
	if err != nil {
		return tcell.NewScreen()
	}
	screen, err := tcell.NewTerminfoScreenFromTty(&wholeChars{Tty: tty})
	if err != nil {
		_ = tty.Close() // it was only opened
		return tcell.NewScreen()
	}
	return screen, nil
}

// wholeChars is a terminal that leaves out the bytes that are no UTF-8, like
// those of another encoding or of a noisy line. At the first of them tcell
// v2.13.10 would turn in a circle for ever, and take no key any more.
type wholeChars struct {
	tcell.Tty
	begun []byte // of a character whose end is still to come
}

func (t *wholeChars) Read(p []byte) (int, error) {
	begun := copy(p, t.begun)
	n, err := t.Tty.Read(p[begun:])
	read := p[:begun+n]
	t.begun = t.begun[:0]
	whole := 0
	for len(read) > 0 {
		r, size := utf8.DecodeRune(read)
		switch {
		case r != utf8.RuneError || size > 1:
			whole += copy(p[whole:], read[:size])
		case !utf8.FullRune(read):
			t.begun = append(t.begun, read...)
			size = len(read)
		}
		read = read[size:]
	}
	return whole, err
}
