package bench

import (
	"fmt"

	"trundle/midiio"
	"trundle/midiio/mapping"
)

// line is the way from the organ, for tests that cannot go on when it fails.
type line struct {
	end   *mapping.End
	flood flood
	spoke bool // a message came
}

// hear is what a message says, and why the test cannot go on, "" when it can. What
// is no message counts while a test is strict.
func (l *line) hear(t midiio.Timed, strict bool) (signals []mapping.Signal, why string) {
	m := t.Message
	switch {
	case m.Kind == midiio.Gone:
		return nil, "the port went away"
	case m.Kind == midiio.Overrun:
		return nil, "the system lost messages that came too fast"
	case m.Kind == midiio.NoStatus && !l.spoke: // the rest of what was on its way to another program
		return nil, ""
	case m.Kind.Fault() && strict:
		return nil, fmt.Sprintf("what came is no message: %s", m)
	case m.OfPort(), m.RealTime():
		return nil, ""
	}
	l.spoke = true
	if why := l.flood.hear(t); why != "" {
		return nil, why
	}
	return l.end.Hear(t).Signals, ""
}
