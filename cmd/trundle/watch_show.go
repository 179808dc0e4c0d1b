package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"trundle/midiio"
)

// watcher shows messages and faults.
type watcher struct {
	out       *bufio.Writer
	ink       ink
	json, raw bool
	keep      func(midiio.Message) bool
	monitor   midiio.Monitor
	words     *listener     // nil without an instrument
	cover     *coverage     // nil without one to cover
	last      time.Duration // of the message shown last
	ticked    int
	messages  int
	faults    int
}

// quiet is how long a covered console must send nothing before it is done: a
// contact that bounces does so by then.
const quiet = time.Second

// errCovered ends a watch in which everything was worked.
var errCovered = errors.New("all is covered")

// meet reads the instruments that the watcher knows of.
func (w *watcher) meet(stderr io.Writer, on, cover string, bounce time.Duration) error {
	if on != "" && cover != "" {
		return complaint{"--on and --cover are two ways to watch", "give one of them"}
	}
	if on == "" && cover == "" {
		return nil
	}
	in, m, err := loadMap(on + cover)
	if err != nil {
		return err
	}
	tellSparse(stderr, in, m)
	w.monitor.IsKey = m.IsKey
	if cover != "" {
		w.cover = newCoverage(in, m, bounce)
		return nil
	}
	w.words = newListener(m)
	return nil
}

// show shows what was taken by now, and flushes it.
func (w *watcher) show(taken midiio.Taken, now time.Duration, load float64) error {
	var faults []midiio.Fault
	for _, t := range taken.Messages {
		faults = w.monitor.Hear(faults[:0], t)
		w.tell(faults)
		switch {
		case t.Message.Kind.Fault():
		case t.Message.OfPort():
			w.hear(t)
		default:
			w.messages++
			w.hear(t)
		}
	}
	faults = w.monitor.Tick(faults[:0], now)
	faults = w.monitor.Link(faults, now, load)
	faults = w.monitor.Lost(faults, now, taken.Dropped)
	w.tell(faults)
	if w.cover != nil && w.cover.isAll() && now-w.last > quiet {
		return errors.Join(errCovered, w.out.Flush())
	}
	return w.out.Flush()
}

// hear shows a message, or ticks off what it works.
func (w *watcher) hear(t midiio.Timed) {
	if w.cover != nil {
		w.last = t.At
		ticked, strange := w.cover.hear(t)
		if strange && !w.json {
			fmt.Fprintf(w.out, "%12.6f  %-32s not in the map\n", t.At.Seconds(), t.Message)
		}
		for _, thing := range ticked {
			w.ticked++
			if !w.json {
				fmt.Fprintf(w.out, "%12.6f  %-32s %d of %d\n", t.At.Seconds(), w.cover.name(thing), w.ticked, len(w.cover.things))
			}
		}
		return
	}
	words := ""
	if w.words != nil {
		var known bool
		if words, known = w.words.words(t); !known {
			words = "not in the map"
		}
	}
	if w.keep(t.Message) {
		w.message(t, words)
	}
}

// finish shows what there is to say at the end, and whether it is good.
func (w *watcher) finish(now time.Duration) (good bool, err error) {
	w.tell(w.monitor.Finish(nil, now))
	switch {
	case w.cover != nil:
		a := w.cover.answer(now, w.faults)
		if w.json {
			return a.good(), errors.Join(writeJSON(w.out, a), w.out.Flush())
		}
		fmt.Fprintf(w.out, "\n%s", a.text())
		return a.good(), w.out.Flush()
	case w.json:
		w.line(watchAnswer{At: now.Seconds(), End: &watchEnd{w.messages, w.faults}})
	default:
		fmt.Fprintf(w.out, "%s, %s\n", count(w.messages, "message"), count(w.faults, "fault"))
	}
	return w.faults == 0, w.out.Flush()
}

func (w *watcher) message(t midiio.Timed, words string) {
	since := t.At - w.last
	w.last = t.At
	bytes := fmt.Sprintf("% X", t.Message.Bytes())
	if w.json {
		a := watchAnswer{At: t.At.Seconds(), Since: new(since.Seconds()), Message: t.Message.String(), Words: words}
		if w.raw {
			a.Bytes = bytes
		}
		w.line(a)
		return
	}
	var behind []string
	if w.raw && bytes != "" {
		behind = append(behind, bytes)
	}
	if words != "" {
		behind = append(behind, words)
	}
	text := t.Message.String()
	if len(behind) > 0 {
		text = fmt.Sprintf("%-28s # %s", text, strings.Join(behind, "  "))
	}
	fmt.Fprintf(w.out, "%12.6f %+12.6f  %s\n", t.At.Seconds(), since.Seconds(), text)
}

func (w *watcher) tell(faults []midiio.Fault) {
	for _, f := range faults {
		w.faults++
		if w.cover != nil && w.json {
			continue
		}
		if w.json {
			w.line(watchAnswer{At: f.At.Seconds(), Fault: f.Rule, Text: f.Text})
			continue
		}
		fmt.Fprintf(w.out, "%12.6f %s %s\n", f.At.Seconds(), strings.Repeat(" ", 11)+"!", w.ink.red(f.Rule)+": "+f.Text)
	}
}

// watchAnswer is one line of JSON: a message, a fault or the end.
type watchAnswer struct {
	Schema  string    `json:"schema"`
	At      float64   `json:"at"`
	Since   *float64  `json:"since,omitempty"`
	Message string    `json:"message,omitempty"`
	Words   string    `json:"words,omitempty"`
	Bytes   string    `json:"bytes,omitempty"`
	Fault   string    `json:"fault,omitempty"`
	Text    string    `json:"text,omitempty"`
	End     *watchEnd `json:"end,omitempty"`
}

type watchEnd struct {
	Messages int `json:"messages"`
	Faults   int `json:"faults"`
}

// line writes a line of JSON; what fails is told by the flush.
func (w *watcher) line(a watchAnswer) {
	a.Schema = "trundle.watch/1"
	_ = writeJSON(io.Writer(w.out), a)
}
