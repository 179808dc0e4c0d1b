package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// hear takes a message from the port: an answer by what was named for it, in the
// phase of inputs what was worked, else what came of a step.
func (k *walker) hear(t midiio.Timed, now time.Duration) error {
	done, strange := k.cover.hear(t)
	signals := k.signals(t)
	for _, s := range signals {
		if s.Kind != mapping.Valve {
			continue
		}
		if k.reports++; s.Value == 1 {
			k.open[s.Index], k.opened[s.Index] = true, true
		} else {
			delete(k.open, s.Index)
		}
	}
	if t.Message.Kind == midiio.Gone {
		clear(k.open) // nothing is known of them
	}
	s := k.w.Steps[k.at]
	if k.ended {
		return nil
	}
	if s.Phase == walk.Inputs {
		if strange && !isIdentity(t.Message) {
			fmt.Fprintf(k.out, "  %s is not in the map\n", subject(t.Message))
		}
		return k.tickOff(done, now)
	}
	for _, signal := range signals {
		line, ok := k.answers[signal.Thing]
		switch {
		case ok && signal.Value == 1 && k.wait != "":
			fmt.Fprintf(k.out, "  that must be written: %s\n", k.wait)
		case ok && signal.Value == 1:
			a, err := walk.Read(s, line)
			if err != nil {
				fmt.Fprintf(k.out, "  %v\n", err)
				return nil
			}
			a.Who = strings.TrimPrefix(k.who+", at the port", ", ")
			k.by = a.Who
			return k.answer(a, now)
		case s.Comes != nil:
			k.came(s, signal, now)
		case signal.Kind == mapping.Valve && signal.Value == 1:
			fmt.Fprintf(k.out, "  the relay says: %s\n", signal.Words(k.in))
		}
	}
	return nil
}

// reportTime is how long a relay has to report what it opens.
const reportTime = 500 * time.Millisecond

// unreported are the magnets that are tried and that a relay did not report, which
// reports others.
func (k *walker) unreported(s walk.Step, now time.Duration) (list []string) {
	if k.silent || k.reports == 0 || s.Phase != walk.Valves || now < k.asked+reportTime {
		return nil
	}
	for _, item := range s.Items {
		if item.Kind != wiring.ValveKind {
			continue
		}
		t := mapping.Thing{Kind: mapping.Valve, Index: k.in.Ranks[item.Index].Valve(item.Note)}
		if entry, ok := k.m.Find(t); ok && entry.Has(mapping.ToConsole) && !k.opened[t.Index] {
			list = append(list, t.Name(k.in))
		}
	}
	return list
}

// signals are what a message says at either end of the cable.
func (k *walker) signals(t midiio.Timed) (list []mapping.Signal) {
	for _, end := range []*mapping.End{k.organ, k.console} {
		for _, s := range end.Hear(t).Signals {
			if !slices.Contains(list, s) {
				list = append(list, s)
			}
		}
	}
	return list
}

// awaits notes what is to come back of a step, and names what no message tells of.
func (k *walker) awaits(s walk.Step) {
	var look []string
	for _, m := range s.Comes {
		entry, ok := k.m.Find(thingOf(k.in, m.Item))
		if ok && (entry.Has(mapping.ToConsole) || m.Item.Kind == wiring.ControlKind && entry.Has(mapping.ToOrgan)) {
			k.want = append(k.want, m)
		} else if m.Item.Kind == wiring.ControlKind { // lamps have steps of their own
			look = append(look, walk.Words(k.in, m.Item)+[...]string{" off", " on"}[m.Value])
		}
	}
	if k.sees = len(look) > 0; k.sees {
		fmt.Fprintf(k.out, "  see for yourself: %s\n", strings.Join(look, ", "))
	}
}

// came notes what came back of a step. It is good when all has come, and for as
// long as a knob takes nothing else has.
func (k *walker) came(s walk.Step, signal mapping.Signal, now time.Duration) {
	is := func(m walk.Move) bool { return thingOf(k.in, m.Item) == signal.Thing && m.Value == signal.Value }
	switch {
	case k.wait != "":
	case slices.ContainsFunc(k.want, is):
		fmt.Fprintf(k.out, "  it comes: %s\n", signal.Words(k.in))
		if k.want = slices.DeleteFunc(k.want, is); len(k.want) == 0 && !k.sees {
			k.good = now + k.travel
		}
	case slices.ContainsFunc(s.Comes, is), slices.ContainsFunc(s.Moves, is):
	case signal.Kind == mapping.Control:
		fmt.Fprintf(k.out, "  %s\n", k.ink.red("besides: "+signal.Words(k.in)))
		k.sees, k.good = true, 0
	}
}

// tickOff answers the steps of what was worked.
func (k *walker) tickOff(done []mapping.Thing, now time.Duration) error {
	for _, thing := range done {
		for i, s := range k.w.Steps {
			if s.Phase != walk.Inputs || thingOf(k.in, s.Items[0]) != thing {
				continue
			}
			if err := k.take(i, walk.Answer{Step: s.ID, Verdict: s.Good, Who: thePort}); err != nil {
				return err
			}
		}
	}
	if _, answered := k.w.Last(k.at); answered {
		k.next(now)
	}
	return nil
}
