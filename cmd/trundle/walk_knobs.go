package main

import (
	"bufio"
	"fmt"
	"strings"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
)

// knobTest moves knobs by their coils and reads their contacts, by a plan.
type knobTest struct {
	in     *console.Instrument
	knobs  []int // controls
	plan   walk.KnobPlan
	organ  *mapping.End // says what goes to the console
	ear    *mapping.End
	gap    time.Duration // from one group to the next
	travel time.Duration // that a knob has to arrive in
	should [][]bool      // by knob and move: what its contact says when all is well
	out    *bufio.Writer
	keep   func(dayRound) error

	move, group int
	clear       bool
	waited      bool // longer than a knob may take, for one that is late
	hand        bool // it waits for a hand
	doubted     bool // the hand was asked whether it forgot some
	goOn        bool // it did not, whatever their contacts say
	next        time.Duration
	heard       bool   // some contact
	mute        bool   // none, when contacts had to change
	made        []bool // contacts, as they were told of
	read        [][]bool
	send        []midiio.Message
}

func (k *knobTest) begin(now time.Duration) {
	pulses := 0
	for _, move := range k.plan.Moves {
		pulses += len(move.Groups)
	}
	takes := time.Duration(pulses)*k.gap + time.Duration(len(k.plan.Moves))*k.travel
	fmt.Fprintf(k.out, "%s by their coils, %d rounds each way, about %.0f s, and %.0f s more for each move in which a contact is late\n", count(len(k.knobs), "knob"), k.plan.Rounds(), takes.Seconds(), late.Seconds())
	fmt.Fprintln(k.out, "knobs move by themselves: hands away from them. The relay times their pulses; watch that no coil stays on")
	fmt.Fprintln(k.out, "write clear when the jambs are")
}

func (k *knobTest) due() (time.Duration, bool) { return k.next, k.clear && !k.hand }

func (k *knobTest) waits() bool { return !k.clear || k.hand }

func (k *knobTest) say() []midiio.Message {
	said := k.send
	k.send = nil
	return said
}

func (k *knobTest) done() bool { return k.move == len(k.plan.Moves) }

func (k *knobTest) flush() (ended bool, err error) {
	return k.done() || k.mute, k.out.Flush()
}

func (k *knobTest) line(l written, now time.Duration) error {
	switch word := strings.ToLower(strings.TrimRight(strings.TrimSpace(l.text), ",;:.!")); {
	case !k.clear && word == "clear":
		k.clear = true
		k.start(now)
	case k.clear && k.hand && word == "done":
		k.hand, k.next = false, now+k.travel
	case k.hand && k.doubted && word == "go on":
		k.hand, k.goOn, k.next = false, true, now
	case word != "":
		fmt.Fprintln(k.out, "write clear, or done when it was done by hand; Ctrl-C ends it")
	}
	return nil
}

// start begins a move.
func (k *knobTest) start(now time.Duration) {
	k.group, k.next, k.waited, k.doubted, k.goOn = 0, now, false, false, false
	if k.done() || !k.plan.Moves[k.move].Hand {
		return
	}
	k.hand = true
	way, _ := k.byHand()
	fmt.Fprintf(k.out, "%s all knobs by hand, then write done\n", way)
}

// byHand is what a hand does in a move, and how the knobs read that it forgot.
func (k *knobTest) byHand() (way, forgotten string) {
	if k.plan.Moves[k.move].On {
		return "draw", "in"
	}
	return "push in", "drawn"
}

// doubt gives a move back to the hand, which may have forgotten a knob: that is no fault
// of a contact. Where none was ever heard it is no knob's.
func (k *knobTest) doubt() bool {
	if !k.plan.Moves[k.move].Hand || !k.heard || k.goOn || !k.unlike() {
		return false
	}
	way, forgotten := k.byHand()
	read := "read"
	unlike := k.round().Unlike
	if len(unlike) == 1 {
		read = "reads"
	}
	fmt.Fprintf(k.out, "%s %s as %s: %s what is not, then write done again; or go on, if all are\n", someOf(unlike), read, forgotten, way)
	k.hand, k.doubted, k.waited = true, true, false
	return true
}

func (k *knobTest) tick(now time.Duration) error {
	if _, due := k.due(); !due || now < k.next {
		return nil
	}
	move := k.plan.Moves[k.move]
	if !move.Hand && k.group < len(move.Groups) {
		for _, knob := range move.Groups[k.group] {
			value := 0
			if move.On {
				value = 1
			}
			k.send = k.organ.Tell(k.send, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: k.knobs[knob]}, Value: value})
		}
		if k.group++; k.group == len(move.Groups) {
			k.next = now + k.travel
		} else {
			k.next = now + k.gap
		}
		return nil
	}
	if !k.waited && !k.goOn && k.unlike() {
		k.waited, k.next = true, now+late
		return nil
	}
	if k.doubt() {
		return nil
	}
	k.read = append(k.read, append([]bool(nil), k.made...))
	r := k.round()
	text := fmt.Sprintf("%d of %d: %s, %d of %s made", r.Round, len(k.plan.Moves), r.Do, len(r.Made), count(len(k.knobs), "contact"))
	if len(r.Unlike) > 0 {
		text += ", not as they should be: " + someOf(r.Unlike)
	}
	fmt.Fprintln(k.out, text)
	k.mute = !k.heard && len(r.Unlike) > 0
	k.move++
	if !k.mute {
		k.start(now)
	}
	return k.keep(r)
}

// round is the move that is over as the record keeps it.
func (k *knobTest) round() dayRound {
	move := k.plan.Moves[k.move]
	r := dayRound{Test: knobsTest, Round: k.move + 1, Do: "cancel", Moved: []string{}, Made: []string{}, Unlike: []string{}}
	if move.On {
		r.Do = "draw"
	}
	if move.Hand {
		r.Do += " by hand"
	} else {
		r.Do += " by their coils"
	}
	for _, group := range move.Groups {
		for _, knob := range group {
			r.Moved = append(r.Moved, k.id(knob))
		}
	}
	for knob, made := range k.made {
		if made {
			r.Made = append(r.Made, k.id(knob))
		}
		if made != k.should[knob][k.move] {
			r.Unlike = append(r.Unlike, k.id(knob))
		}
	}
	return r
}

func (k *knobTest) id(knob int) string { return k.in.Controls[k.knobs[knob]].ID }

// late is how long a knob is waited for that has not arrived when it should: one that
// is slow is no fault of a wire. Common practice, no source.
const late = 2 * time.Second

// unlike reports whether a contact is not as it should be after the move.
func (k *knobTest) unlike() bool {
	for knob, made := range k.made {
		if made != k.should[knob][k.move] {
			return true
		}
	}
	return false
}

func (k *knobTest) hear(t midiio.Timed, now time.Duration) error {
	for _, s := range k.ear.Hear(t).Signals {
		for i, control := range k.knobs {
			if s.Kind == mapping.Control && s.Index == control {
				k.made[i], k.heard = s.Value == 1, true
			}
		}
	}
	if k.waited && !k.unlike() {
		k.next = now + contactsSettle
	}
	return nil
}
