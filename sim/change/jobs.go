package change

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// job begins a job of one wire.
func (l *list) job(do Do, t thing, in *console.Instrument, pin wiring.Terminal) Job {
	j := Job{Do: do, Kind: t.kind, Item: t.item(), To: label(in, t)}
	if pin.Pin > 0 {
		j.Board, j.Pins = l.relay.Board(pin.On), []int{pin.Pin}
	}
	if n := number(in, t); n > 0 {
		j.Notes = []int{n}
	}
	return j
}

func (l *list) remove(s soldered) {
	row := l.relay.Soldered()[s.row]
	l.taken[row.Pins[s.at]] = false
	l.put(l.with(l.job(Remove, s.thing, l.old, row.Pins[s.at]), s))
}

// keep leaves a wire on its pin, and says what else changes about it.
func (l *list) keep(s soldered) {
	pin := l.relay.Soldered()[s.row].Pins[s.at]
	l.taken[pin] = true // also where something else was taken off it
	if from, to := stands(l.old, s.thing), stands(l.new, s.thing); from != to && to != "" {
		j := l.job(Move, s.thing, l.new, pin)
		j.From, j.To = from, to
		l.put(l.with(j, s))
	}
	was, is := label(l.old, s.thing), label(l.new, s.thing)
	if was != is || number(l.old, s.thing) != number(l.new, s.thing) {
		j := l.job(Retag, s.thing, l.new, pin)
		j.From = was
		if n := number(l.old, s.thing); n > 0 {
			j.Was = []int{n}
		}
		l.put(l.with(j, s))
	}
}

// with is a job with the cable and wire of a pin.
func (l *list) with(j Job, s soldered) Job {
	row := l.relay.Soldered()[s.row]
	j.Cable = row.Cable
	if s.at < len(row.Wires) {
		j.Wires = []int{row.Wires[s.at]}
	}
	return j
}

// add gives a thing a free pin: on a board that has its like, otherwise on the
// first board with one.
func (l *list) add(t thing) {
	direction := wiring.Output
	switch t.kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.ButtonKind:
		direction = wiring.Input
	}
	boards := slices.Concat(l.boards[like{t.kind, t.id}], l.boards[like{kind: t.kind}])
	for on := range l.relay.Boards {
		boards = append(boards, on)
	}
	for _, on := range boards {
		if on >= len(l.relay.Boards) || l.relay.Boards[on].Direction != direction {
			continue
		}
		for l.tried[on] < l.relay.Boards[on].Pins { // what is taken stays so: all that comes off has been taken off
			l.tried[on]++
			if at := (wiring.Terminal{On: on, Pin: l.tried[on]}); !l.taken[at] {
				l.put(l.job(Add, t, l.new, at))
				return
			}
		}
	}
	l.put(l.job(Add, t, l.new, wiring.Terminal{}))
}

// put adds a job to the list: to the last of its sort where both are one run.
func (l *list) put(j Job) {
	for i := len(l.jobs) - 1; i >= 0; i-- {
		last := &l.jobs[i]
		if last.Do != j.Do {
			continue
		}
		if j.Notes != nil && last.continues(j) {
			last.Pins, last.Notes = append(last.Pins, j.Pins...), append(last.Notes, j.Notes...)
			last.Was, last.Wires = append(last.Was, j.Was...), append(last.Wires, j.Wires...)
			return
		}
		break
	}
	l.jobs = append(l.jobs, j)
}

// continues reports whether two jobs are of one run.
func (j Job) continues(k Job) bool {
	return j.Board == k.Board && j.Kind == k.Kind && j.Item == k.Item && j.From == k.From && j.To == k.To && j.Cable == k.Cable &&
		(j.Notes == nil) == (k.Notes == nil) && (j.Wires == nil) == (k.Wires == nil)
}

// sorted puts what is taken off before what is moved and added, and labels last.
func (l *list) sorted() []Job {
	order := []Do{Remove, Move, Add, Retag}
	slices.SortStableFunc(l.jobs, func(a, b Job) int { return cmp.Compare(slices.Index(order, a.Do), slices.Index(order, b.Do)) })
	return l.jobs
}

// NotesText is the notes of a job as a wiring row writes them.
func NotesText(kind wiring.Kind, numbers []int) string {
	switch kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.NoteKind:
		notes := make([]console.Note, len(numbers))
		for i, n := range numbers {
			notes[i] = console.Note(n)
		}
		return wiring.FormatNotes(notes)
	}
	return wiring.FormatNumbers(numbers)
}
