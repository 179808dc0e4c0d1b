package desk

import (
	"os"
	"strings"
	"time"

	"github.com/gdamore/tcell/v2"
)

// Terminal is a screen on the terminal of the process.
type Terminal struct {
	Screen
	tcell  tcell.Screen
	colour bool
	shown  *Grid
	light  bool
}

// OpenTerminal takes the terminal over. Close gives it back as it was.
func OpenTerminal() (*Terminal, error) {
	screen, err := newScreen()
	if err != nil {
		return nil, err
	}
	if err := screen.Init(); err != nil {
		return nil, err
	}
	return onScreen(screen), nil
}

func onScreen(screen tcell.Screen) *Terminal {
	screen.EnableMouse(tcell.MouseDragEvents)
	screen.EnablePaste()
	inputs := make(chan Input, 256)
	t := &Terminal{tcell: screen, colour: os.Getenv("NO_COLOR") == ""}
	t.Screen = Screen{Inputs: inputs, Show: t.show, Redraw: screen.Sync}
	go t.listen(inputs)
	return t
}

// Close gives the terminal back. What is sent meanwhile is taken and forgotten:
// tcell would wait for that.
func (t *Terminal) Close() {
	go func() {
		for range t.Inputs {
		}
	}()
	t.tcell.Fini()
}

// ASCII reports a terminal whose locale shows no more than ASCII for certain.
func ASCII() bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if value := os.Getenv(name); value != "" {
			value = strings.ToLower(value)
			return !strings.Contains(value, "utf-8") && !strings.Contains(value, "utf8")
		}
	}
	return true
}

// Light reports a background that the terminal says is light, in the variable
// COLORFGBG: its last number is the background's colour of the sixteen.
func Light() bool {
	value := os.Getenv("COLORFGBG")
	switch value[strings.LastIndexByte(value, ';')+1:] {
	case "7", "9", "10", "11", "12", "13", "14", "15":
		return true
	}
	return false
}

// show puts the cells on the terminal that differ from those shown last.
func (t *Terminal) show(g *Grid, light bool) {
	all := t.shown == nil || t.shown.W != g.W || t.shown.H != g.H || t.light != light
	if all {
		t.shown, t.light = NewGrid(g.W, g.H), light
		t.tcell.Clear()
	}
	for i, c := range g.Cells {
		if !all && c == t.shown.Cells[i] {
			continue
		}
		t.shown.Cells[i] = c
		if c.Text == "" {
			continue // the second half of the one before
		}
		t.tcell.Put(i%g.W, i/g.W, c.Text, t.style(c))
	}
	t.tcell.Show()
}

// Colours are of the sixteen that every terminal has, apart for dark and light
// backgrounds. What is dim has no colour of its own: a grey that can be read on
// one is lost on the other.
var colours = [2][inks]tcell.Color{
	{Title: tcell.ColorTeal, On: tcell.ColorYellow, Blind: tcell.ColorFuchsia, Held: tcell.ColorLime, Moved: tcell.ColorAqua, Coupled: tcell.ColorFuchsia, Wrong: tcell.ColorRed},
	{On: tcell.ColorNavy, Blind: tcell.ColorPurple, Held: tcell.ColorMaroon, Moved: tcell.ColorNavy, Coupled: tcell.ColorPurple, Wrong: tcell.ColorMaroon},
}

func (t *Terminal) style(c Cell) tcell.Style {
	style := tcell.StyleDefault
	if t.colour {
		palette := colours[0]
		if t.light {
			palette = colours[1]
		}
		if colour := palette[c.Ink]; colour != 0 {
			style = style.Foreground(colour)
		}
	}
	switch c.Ink {
	case Dim:
		style = style.Dim(true)
	case Plain:
	default:
		style = style.Bold(true)
	}
	return style.Reverse(c.Cursor)
}

// pasteGap is how long a paste may pause before it is held to have ended: its
// end can be lost, and keys would count for nothing ever after.
const pasteGap = 500 * time.Millisecond

// listen turns what the terminal sends into inputs, until it is closed. What is
// pasted is left out: nobody means to play a text.
func (t *Terminal) listen(inputs chan<- Input) {
	defer close(inputs)
	pasting, last := false, time.Time{}
	for {
		switch e := t.tcell.PollEvent().(type) {
		case nil:
			return
		case *tcell.EventResize:
			w, h := e.Size()
			inputs <- Input{Resize: true, W: w, H: h}
		case *tcell.EventPaste:
			pasting, last = e.Start(), e.When()
		case *tcell.EventKey:
			pasting = pasting && e.When().Sub(last) < pasteGap
			last = e.When()
			if key := keyName(e); key != "" && !pasting {
				inputs <- Input{Key: key}
			}
		case *tcell.EventMouse:
			if m, ok := mouseOf(e); ok {
				inputs <- Input{Mouse: &m}
			}
		}
	}
}

func mouseOf(e *tcell.EventMouse) (Mouse, bool) {
	x, y := e.Position()
	m := Mouse{X: x, Y: y, Down: e.Buttons()&tcell.Button1 != 0, Look: e.Buttons()&tcell.Button2 != 0}
	switch {
	case e.Buttons()&tcell.WheelUp != 0:
		m.Wheel = -1
	case e.Buttons()&tcell.WheelDown != 0:
		m.Wheel = 1
	case e.Buttons()&^(tcell.Button1|tcell.Button2) != 0:
		return m, false
	}
	return m, true
}

// keyName is a key as bindings name it, "" for one that they cannot name.
func keyName(e *tcell.EventKey) string {
	switch {
	case e.Key() == tcell.KeyRune && e.Rune() == ' ':
		return "Space"
	case e.Key() == tcell.KeyRune:
		return string(e.Rune())
	}
	return keyNames[e.Key()]
}

var keyNames = map[tcell.Key]string{
	tcell.KeyEnter: "Enter", tcell.KeyTab: "Tab", tcell.KeyBacktab: "Shift-Tab", tcell.KeyEscape: "Esc",
	tcell.KeyBackspace: "Backspace", tcell.KeyBackspace2: "Backspace", tcell.KeyDelete: "Delete", tcell.KeyInsert: "Insert",
	tcell.KeyUp: "Up", tcell.KeyDown: "Down", tcell.KeyLeft: "Left", tcell.KeyRight: "Right",
	tcell.KeyHome: "Home", tcell.KeyEnd: "End", tcell.KeyPgUp: "PgUp", tcell.KeyPgDn: "PgDn",
	tcell.KeyF1: "F1", tcell.KeyF2: "F2", tcell.KeyF3: "F3", tcell.KeyF4: "F4", tcell.KeyF5: "F5", tcell.KeyF6: "F6",
	tcell.KeyF7: "F7", tcell.KeyF8: "F8", tcell.KeyF9: "F9", tcell.KeyF10: "F10", tcell.KeyF11: "F11", tcell.KeyF12: "F12",
	tcell.KeyCtrlC: "Ctrl-C", tcell.KeyCtrlL: "Ctrl-L", tcell.KeyCtrlQ: "Ctrl-Q",
}
