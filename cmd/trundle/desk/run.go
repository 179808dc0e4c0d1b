package desk

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"trundle/combination"
	"trundle/midiio"
)

// Input is one thing that came from a screen.
type Input struct {
	Key    string // "" for none
	Mouse  *Mouse // nil for none
	Resize bool   // to W columns and H rows
	W, H   int
}

// Screen is what the desk is shown on and worked from.
type Screen struct {
	Inputs <-chan Input // closed when there will be no more
	Show   func(g *Grid, light bool)
	Redraw func() // draws all of the grid shown last anew
}

// Outside is what the desk works with beside a screen.
type Outside struct {
	Clock midiio.Clock
	Heard *midiio.Input     // nil without a MIDI port
	Out   *midiio.Output    // nil without a port to send to
	File  *combination.File // nil without a memory file
	Write func(path, text string) error
}

// frameTime is how soon after a frame the next may follow: what comes faster
// than the eye sees is drawn together.
const frameTime = 16 * time.Millisecond

// Run works a desk on a screen until it is quit, or until Ctrl-C or the end of
// the context interrupts it.
func Run(ctx context.Context, m *Model, screen Screen, outside Outside) (interrupted bool) {
	l := loop{Model: m, screen: screen, outside: outside, answers: make(chan func(), 16), grid: NewGrid(m.w, m.h)}
	l.run(ctx)
	return l.interrupted
}

type loop struct {
	*Model
	screen  Screen
	outside Outside
	answers chan func() // of work done beside the loop
	saving  sync.WaitGroup
	grid    *Grid

	quit, interrupted bool
	running           bool // the relay

	drawn time.Duration // when the last frame was
}

func (l *loop) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	var ready <-chan struct{}
	if l.outside.Heard != nil {
		ready = l.outside.Heard.Ready()
	}
	defer l.saving.Wait() // what was to be saved is
	l.outsideWants()
	l.draw()
	dirty := false // the screen is not what the model is
	for !l.quit {
		l.wait(timer, dirty)
		late := false // it has waited for as long as a frame may
		select {
		case <-ctx.Done():
			l.interrupted = true
			return
		case in, ok := <-l.screen.Inputs:
			if !ok {
				return
			}
			l.take(in)
			for more := true; more && !l.quit; {
				select {
				case in, ok := <-l.screen.Inputs:
					if more = ok; ok {
						l.take(in)
					}
				default:
					more = false
				}
			}
		case <-ready:
			taken := l.outside.Heard.Take()
			l.Hear(l.outside.Clock(), taken)
			if taken.Closed {
				ready = nil
			}
		case answer := <-l.answers:
			answer()
		case <-timer.C:
			late = dirty
			l.Tick(l.outside.Clock())
		}
		l.outsideWants()
		l.runRelay()
		if dirty = !late && l.outside.Clock()-l.drawn < frameTime; !dirty {
			l.draw()
		}
	}
}

// wait sets the timer to when something is due: the next frame, or the model.
func (l *loop) wait(timer *time.Timer, dirty bool) {
	now := l.outside.Clock()
	due, ok := l.Next()
	if frame := l.drawn + frameTime; dirty && (!ok || frame < due) {
		due, ok = frame, true
	}
	if !ok {
		timer.Stop()
		return
	}
	timer.Reset(max(0, due-now))
}

func (l *loop) take(in Input) {
	now := l.outside.Clock()
	switch {
	case in.Key == "Ctrl-C":
		l.quit, l.interrupted = true, true
	case in.Resize:
		l.Resize(in.W, in.H)
		l.grid = NewGrid(in.W, in.H)
	case in.Mouse != nil:
		l.Point(now, *in.Mouse)
	default:
		l.Key(now, in.Key)
	}
}

func (l *loop) draw() {
	Draw(l.Model, l.grid)
	l.screen.Show(l.grid, l.light)
	l.drawn = l.outside.Clock()
}

// outsideWants does what the model wants done.
func (l *loop) outsideWants() {
	for _, message := range l.Messages() {
		l.outside.Out.Send(message)
	}
	for _, w := range l.Wants() {
		switch w.Kind {
		case WantQuit:
			l.quit = true
		case WantRedraw:
			l.screen.Redraw()
		case WantSave:
			l.saving.Add(1)
			l.beside(func() func() {
				defer l.saving.Done()
				err := l.outside.File.Save(w.Memories)
				return func() { l.Saved(w.Save, err) }
			})
		case WantText:
			l.beside(func() func() {
				err := l.outside.Write(w.Path, w.Text)
				return func() { l.Written(w.Path, err) }
			})
		}
	}
}

// runRelay has the relay run beside the loop when the pane should show what it
// does, one run at a time.
func (l *loop) runRelay() {
	state, version, asked := l.WiresAsked()
	if !asked || l.running {
		return
	}
	l.running = true
	l.beside(func() func() {
		does := l.options.Relay.Does(state)
		return func() {
			l.running = false
			l.WiresDo(version, does)
		}
	})
}

// beside does something while the loop goes on, which then does what that
// returns. A panic goes on in the loop, where the terminal is given back.
func (l *loop) beside(do func() func()) {
	go func() {
		defer func() {
			if p := recover(); p != nil {
				text := fmt.Sprintf("%v\n%s", p, debug.Stack())
				l.answers <- func() { panic(text) }
			}
		}()
		l.answers <- do()
	}()
}
