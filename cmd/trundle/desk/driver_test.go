package desk

import (
	"context"
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/midiio"
)

// driver works a desk as a player does: through its inputs, seeing nothing but
// its screen. Whatever it looks for, it waits for.
type driver struct {
	t      *testing.T
	inputs chan Input
	ended  chan bool // whether it was interrupted

	mu      sync.Mutex
	changed *sync.Cond
	shown   *Grid
	light   bool
}

// drive runs a desk on a screen of 160 columns and 50 rows.
func drive(t *testing.T, m *Model, outside Outside) *driver {
	t.Helper()
	d := &driver{t: t, inputs: make(chan Input), ended: make(chan bool, 1), shown: NewGrid(1, 1)}
	d.changed = sync.NewCond(&d.mu)
	m.Resize(160, 50)
	if outside.Clock == nil {
		outside.Clock = midiio.NewClock()
	}
	if outside.Write == nil {
		outside.Write = func(string, string) error { return errors.New("nowhere to write") }
	}
	ctx, stop := context.WithCancel(t.Context())
	screen := Screen{Inputs: d.inputs, Show: d.show, Redraw: func() {}}
	go func() { d.ended <- Run(ctx, m, screen, outside) }()
	t.Cleanup(func() {
		stop()
		<-d.ended
	})
	return d
}

func (d *driver) show(g *Grid, light bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.shown, d.light = &Grid{g.W, g.H, append([]Cell(nil), g.Cells...)}, light
	d.changed.Broadcast()
}

// press presses keys, one after the other.
func (d *driver) press(keys ...string) *driver {
	for _, key := range keys {
		d.inputs <- Input{Key: key}
	}
	return d
}

// find goes to what has a name, by the find line.
func (d *driver) find(name string) *driver {
	d.press("/")
	for _, r := range name {
		key := string(r)
		if key == " " {
			key = "Space"
		}
		d.press(key)
	}
	return d.press("Enter")
}

// mouse moves the mouse to a place, with its button down or up.
func (d *driver) mouse(x, y int, down bool) *driver {
	d.inputs <- Input{Mouse: &Mouse{X: x, Y: y, Down: down}}
	return d
}

// until waits until the screen is as wanted.
func (d *driver) until(what string, is func(*Grid) bool) *driver {
	d.t.Helper()
	late := false
	timer := time.AfterFunc(3*time.Second, func() { d.mu.Lock(); late = true; d.mu.Unlock(); d.changed.Broadcast() })
	defer timer.Stop()
	d.mu.Lock()
	defer d.mu.Unlock()
	for !is(d.shown) {
		if late {
			require.FailNow(d.t, "waited in vain for "+what, d.shown.String())
		}
		d.changed.Wait()
	}
	return d
}

// see waits until texts stand on the screen.
func (d *driver) see(texts ...string) *driver {
	d.t.Helper()
	for _, text := range texts {
		d.until("the text "+text, func(g *Grid) bool { return strings.Contains(g.String(), text) })
	}
	return d
}

// miss waits until a text stands nowhere on the screen.
func (d *driver) miss(text string) *driver {
	d.t.Helper()
	return d.until("no text "+text, func(g *Grid) bool { return !strings.Contains(g.String(), text) })
}

// place is where a text stands on the screen first.
func (d *driver) place(text string) (x, y int) {
	d.t.Helper()
	d.see(text)
	d.mu.Lock()
	defer d.mu.Unlock()
	for y, row := range strings.Split(d.shown.String(), "\n") {
		if before, _, found := strings.Cut(row, text); found {
			return utf8.RuneCountInString(before), y
		}
	}
	return 0, 0
}

// count waits until a sign stands on the screen so many times, its legend in
// the last row left out.
func (d *driver) count(sign string, times int) *driver {
	d.t.Helper()
	return d.until(sign, func(g *Grid) bool {
		rows := strings.Split(strings.TrimRight(g.String(), "\n"), "\n")
		return strings.Count(strings.Join(rows[:len(rows)-1], "\n"), sign) == times
	})
}

func instrument(t testing.TB, path string) *console.Instrument {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	in, findings := console.Parse(path, data)
	require.NotNil(t, in, "%v", findings)
	return in
}

// threeManuals is the instrument that these tests play.
func threeManuals(t testing.TB) *console.Instrument {
	return instrument(t, "testdata/three-manuals.yaml")
}
