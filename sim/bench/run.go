package bench

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// Verdict is what became of a step.
type Verdict string

const (
	Passed Verdict = "passed"
	Failed Verdict = "failed"
	NotRun Verdict = "not-run"
)

// Result is what became of one step that checks something.
type Result struct {
	Step
	Verdict Verdict
	Why     string
	After   time.Duration // of what was expected: so long after the last stimulus had left
	When    time.Duration // by the clock
}

// Run is a script that is done at the console's end of a cable. It has no
// clock: Hear says when messages came, and Tick what time it is.
type Run struct {
	Results []Result

	in     *console.Instrument // nil for a script of messages alone
	end    *mapping.End
	script Script
	next   int           // step
	begun  bool          // the step has begun
	began  time.Duration // when
	left   time.Duration // when the last stimulus had left
	heard  []heard       // since then, and not expected so far
	faults []string      // that came since a step was decided, as text
	count  int           // of them
	flood  flood
	most   int           // messages that may come unexpected
	drawn  []bool        // by control
	gone   string        // why nothing more can be done
	starts time.Duration // when the first step may begin; 0 before the first Tick
}

// listening is how long a script listens before its first step: what was on its
// way is none of its own, and who sends leaves out no status byte so long after
// the last (common practice, no source).
const listening = 350 * time.Millisecond

// heard is a message that came, with what it says.
type heard struct {
	midiio.Timed
	signals []mapping.Signal
	chooses bool // a parameter, whose value says the rest
}

// mostHeard is how many messages may come unexpected before that is a flood, where no
// instrument may say more at once.
const mostHeard = 10_000

// mostFaults is how many of the faults that came are kept as text.
const mostFaults = 3

// NewRun begins a script. The map may be nil for one of messages alone.
func NewRun(script Script, in *console.Instrument, m *mapping.Map) *Run {
	r := &Run{script: script, in: in, most: mostHeard}
	if m != nil {
		r.end, r.drawn = m.End(mapping.AtConsole, "organ"), make([]bool, len(in.Controls))
		r.most = max(r.most, 2*3*len(m.Entries)) // all there is on and off, by parameters of three messages each
	}
	return r
}

// Hear takes a message from the organ.
func (r *Run) Hear(t midiio.Timed) {
	m := t.Message
	switch {
	case m.Kind == midiio.Gone:
		r.Break("the port went away")
	case m.Kind == midiio.Overrun:
		r.Break("the system lost messages that came too fast")
	case m.Kind.Fault():
		if r.count++; len(r.faults) < mostFaults {
			r.faults = append(r.faults, m.String())
		}
	case m.OfPort(), m.RealTime():
	case len(r.heard) == r.most:
		r.Break(fmt.Sprintf("it is flooded: %d messages came that nothing expects", r.most))
	default:
		if why := r.flood.hear(t); why != "" {
			r.Break(why)
			return
		}
		h := heard{Timed: midiio.Timed{At: t.At, Message: m.Clone()}}
		if r.end != nil {
			says := r.end.Hear(t)
			h.signals, h.chooses = slices.Clone(says.Signals), says.Known && len(says.Signals) == 0
		}
		r.heard = append(r.heard, h)
	}
}

// Break ends the script: nothing more is sent, and what is left to check is not run.
func (r *Run) Break(why string) {
	if r.gone == "" {
		r.gone = why
	}
}

// Left says when what Tick has appended has left.
func (r *Run) Left(at time.Duration) { r.left = at }

// Done reports that nothing is left to do.
func (r *Run) Done() bool { return r.next == len(r.script.Steps) }

// Steps is how many of how many steps are done.
func (r *Run) Steps() (done, of int) { return r.next, len(r.script.Steps) }

// Asks is a question that waits for Answer.
func (r *Run) Asks() (question string, asks bool) {
	if r.Done() || !r.begun || r.script.Steps[r.next].Sort != Ask {
		return "", false
	}
	return r.script.Steps[r.next].Question, true
}

// Answer answers it: y or yes is good; anything else is what is wrong.
func (r *Run) Answer(now time.Duration, words string) {
	if _, asks := r.Asks(); !asks {
		return
	}
	switch strings.ToLower(strings.TrimSpace(words)) {
	case "y", "yes":
		r.decide(now, Passed, "")
	case "", "n", "no":
		r.decide(now, Failed, "the answer is no")
	default:
		r.decide(now, Failed, strings.TrimSpace(words))
	}
	r.left = now
}

// Next is when Tick has something to do, whatever comes.
func (r *Run) Next() (at time.Duration, due bool) {
	if r.Done() {
		return 0, false
	}
	if !r.begun || r.gone != "" {
		return r.starts, true
	}
	switch s := r.script.Steps[r.next]; s.Sort {
	case Wait, Nothing:
		return r.began + s.For, true
	case Expect:
		return r.left + s.For + 1, true // what comes at the last moment is in time
	}
	return 0, false
}

// Tick does what is due, and appends what is to be sent.
func (r *Run) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	if r.starts == 0 {
		r.starts = now + listening
	}
	if now < r.starts && r.gone == "" {
		r.heard, r.faults, r.count, r.left = r.heard[:0], nil, 0, r.starts
		return to
	}
	for !r.Done() {
		if r.gone != "" {
			r.abandon(now)
			return to
		}
		if !r.begun {
			r.begun, r.began = true, now
		}
		s := r.script.Steps[r.next]
		switch s.Sort {
		case Say:
			said := len(to)
			to = r.say(to, now, s)
			r.heard, r.left = r.heard[:0], now
			r.pass()
			if len(to) > said {
				return to // the next step counts from when it has left
			}
		case Wait:
			if now < r.began+s.For {
				return to
			}
			r.pass()
		case Ask:
			return to
		case Expect:
			if !r.met(s) {
				if now <= r.left+s.For {
					return to
				}
				r.decide(now, Failed, r.instead(s))
			}
		case Nothing:
			if len(r.heard) == 0 && r.count == 0 && now < r.began+s.For {
				return to
			}
			why := ""
			if len(r.heard) > 0 {
				why = r.told(r.heard) + " came"
				r.heard = r.heard[:0]
			}
			r.decide(now, verdict(why == ""), why)
		}
	}
	return to
}

func verdict(good bool) Verdict {
	if good {
		return Passed
	}
	return Failed
}

// pass goes on to the next step.
func (r *Run) pass() { r.next, r.begun = r.next+1, false }

// decide says what became of a step, and goes on. One during which something
// came that is no message is no good one.
func (r *Run) decide(now time.Duration, v Verdict, why string) {
	if r.count > 0 {
		faults := fmt.Sprintf("%d times what came is no message: %s", r.count, strings.Join(r.faults, ", "))
		if v, why = Failed, strings.TrimPrefix(why+"; "+faults, "; "); r.count > len(r.faults) {
			why += ", ..."
		}
		r.faults, r.count = nil, 0
	}
	r.Results = append(r.Results, Result{Step: r.script.Steps[r.next], Verdict: v, Why: why, When: now})
	r.pass()
}

// abandon leaves off: the step that waits has failed, the others are not run.
func (r *Run) abandon(now time.Duration) {
	first := true
	for ; !r.Done(); r.pass() {
		s := r.script.Steps[r.next]
		switch {
		case first:
			r.Results = append(r.Results, Result{Step: s, Verdict: Failed, Why: r.gone, When: now})
			first = false
		case s.Checks():
			r.Results = append(r.Results, Result{Step: s, Verdict: NotRun, Why: r.gone, When: now})
		}
	}
}

// say appends the messages of a step.
func (r *Run) say(to []midiio.Message, now time.Duration, s Step) []midiio.Message {
	to = append(to, s.Messages...)
	for _, e := range s.Events {
		control := func(on bool) {
			r.drawn[e.Index] = on
			value := 0
			if on {
				value = 1
			}
			to = r.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: e.Index, Value: value})
		}
		switch e.Kind {
		case console.DrawEvent, console.PushEvent:
			control(e.Kind == console.DrawEvent)
		case console.TouchEvent:
			control(!r.drawn[e.Index])
		case console.StageEvent:
			to = r.end.Say(to, console.Effect{At: now, Kind: console.StageEffect, Value: e.Value})
		default:
			to = r.end.Did(to, now, "player", e)
		}
	}
	return to
}

// Rest appends the messages that push in what the script has drawn.
func (r *Run) Rest(to []midiio.Message, now time.Duration) []midiio.Message {
	for c, drawn := range r.drawn {
		if drawn {
			to = r.end.Say(to, console.Effect{At: now, Kind: console.ControlEffect, Index: c})
		}
	}
	return to
}

// met decides a step when what it expects is among what came in time.
func (r *Run) met(s Step) bool {
	i := slices.IndexFunc(r.heard, func(h heard) bool { return h.At <= r.left+s.For && s.expects(h) })
	if i < 0 {
		return false
	}
	at := r.heard[i].At
	r.heard = slices.Delete(r.heard, i, i+1)
	r.decide(at, Passed, "")
	r.Results[len(r.Results)-1].After = max(0, at-r.left)
	return true
}

// expects reports whether a step expects a message.
func (s Step) expects(h heard) bool {
	if s.Signal != nil {
		return slices.Contains(h.signals, *s.Signal)
	}
	words := strings.Fields(h.Message.String())
	return slices.EqualFunc(words, s.Pattern, func(word, want string) bool { return want == "*" || word == want })
}

// instead says what came in the place of what was expected.
func (r *Run) instead(s Step) string {
	if late := slices.IndexFunc(r.heard, s.expects); late >= 0 {
		after := r.heard[late].At - r.left
		r.heard = slices.Delete(r.heard, late, late+1)
		return fmt.Sprintf("it came late, after %s", millis(after))
	}
	if len(r.heard) == 0 {
		return "nothing came"
	}
	return r.told(r.heard) + " came instead"
}

// mostTold is how many messages an answer names.
const mostTold = 4

// told are messages in the words of the console.
func (r *Run) told(list []heard) string {
	if said := slices.DeleteFunc(slices.Clone(list), func(h heard) bool { return h.chooses }); len(said) > 0 {
		list = said
	}
	var words []string
	for _, h := range list[:min(mostTold, len(list))] {
		text := h.Message.String()
		for i, s := range h.signals {
			if i == 0 {
				text = ""
			} else {
				text += " and "
			}
			text += s.Words(r.in)
		}
		words = append(words, text)
	}
	text := strings.Join(words, ", ")
	if more := len(list) - mostTold; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

func millis(d time.Duration) string {
	return fmt.Sprintf("%.1f ms", float64(d)/float64(time.Millisecond))
}
