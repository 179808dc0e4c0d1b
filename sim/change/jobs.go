package change

import (
	"cmp"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// job begins a job of one wire.
func (l *list) job(do Do, t thing, in *console.Instrument, item wiring.Item, pin wiring.Terminal) Job {
	_, name, _ := item.Words(in)
	j := Job{Do: do, Kind: item.Kind, Item: name, To: label(in, t)}
	if pin.Pin > 0 {
		j.Board, j.Pins = l.relay.Board(pin.On), []int{pin.Pin}
	}
	if item.Note > 0 {
		j.Notes = []int{item.Note}
	}
	return j
}

func (l *list) remove(s soldered) {
	row := l.relay.Soldered()[s.row]
	l.taken[row.Pins[s.at]] = false
	l.put(l.with(l.job(Remove, s.thing, l.old, s.item, row.Pins[s.at]), s))
}

// keep leaves a wire on its pin, and says what else changes about it, and
// whether its row would be misread.
func (l *list) keep(s soldered, misread bool) {
	row := l.relay.Soldered()[s.row]
	pin, now := row.Pins[s.at], l.is[s.thing]
	l.taken[pin] = true // also where something else was taken off it
	if from, to := stands(l.old, s.item), stands(l.new, now); from != to && to != "" {
		j := l.job(Move, s.thing, l.new, now, pin)
		j.From, j.To = from, to
		l.put(l.with(j, s))
	}
	was, is := label(l.old, s.thing), label(l.new, s.thing)
	switch {
	case was != is || s.item.Note != now.Note:
		j := l.job(Retag, s.thing, l.new, now, pin)
		j.From = was
		if s.item.Note > 0 {
			j.Was = []int{s.item.Note}
		}
		l.put(l.with(j, s))
	case misread:
		j := l.job(Write, s.thing, l.new, now, pin)
		j.From = strings.TrimSpace(row.Item + " " + row.Notes)
		l.put(l.with(j, s))
	}
}

// misread reports whether a row of the old wiring, from which all but what is
// kept was taken, would hang up something else in the new instrument: its item
// goes by another name there, or the notes that it leaves out are others.
func (l *list) misread(at int, kept []soldered) bool {
	row := l.relay.Soldered()[at]
	if len(kept) == 0 || row.Cells == nil {
		return false
	}
	t, now := kept[0].thing, l.is[kept[0].thing]
	if _, name, _ := now.Words(l.new); name != row.Item && !l.also(t, now, row.Item) {
		return true
	}
	first, last := 0, 0
	switch now.Kind {
	case wiring.KeyKind, wiring.Key2Kind:
		first, last = int(l.new.Keyboards[now.Index].Keys.From), int(l.new.Keyboards[now.Index].Keys.To)
	case wiring.NoteKind:
		first, last = int(l.new.Chests[now.Index].Notes.From), int(l.new.Chests[now.Index].Notes.To)
	case wiring.ValveKind:
		first, last = 1, l.new.Ranks[now.Index].Pipes
	case wiring.ShadeKind:
		first, last = 1, l.new.Boxes[now.Index].Magnets()
	case wiring.StageKind:
		first = 1
		for i, s := range l.new.Crescendo {
			if now.Index == console.None || now.Index == i {
				last = max(last, len(s.Stages))
			}
		}
	default:
		return false
	}
	if row.Notes != "" || now.Note == 0 {
		return false
	}
	for i, s := range kept {
		if l.is[s.thing].Note != first+i {
			return true
		}
	}
	return len(kept) != last-first+1 || last == 1 && (now.Kind == wiring.ShadeKind || now.Kind == wiring.StageKind) // one alone would have no number
}

// also reports whether rows may call a thing of the new instrument so too: by the
// one division that plays it, or the crescendo by its shoe.
func (l *list) also(t thing, item wiring.Item, name string) bool {
	if item.Kind == wiring.StageKind {
		return slices.ContainsFunc(l.new.Shoes, func(s console.Shoe) bool { return s.Crescendo && s.ID == name && t.id == crescendo })
	}
	return item.Of == console.None && t.of != "" && name == t.id+"/"+t.of
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

// akin are kinds that share boards where there is room, each before those behind it.
var akin = [][]wiring.Kind{
	{wiring.KeyKind, wiring.Key2Kind},
	{wiring.ControlKind, wiring.ButtonKind, wiring.StageKind, wiring.ShoeKind},
	{wiring.KnobOnKind, wiring.KnobOffKind, wiring.LampKind},
	{wiring.VentilKind, wiring.TremulantKind, wiring.ShadeKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.NoteKind, wiring.ValveKind},
}

// add gives things that hang together, such as the valves of a rank, pins: the
// planned or inherited ones, and for the rest free ones of one board. Where no board of their
// kind or one akin to it has room for all of them, they get those beside others of
// their rank, and the rest none: nothing is scattered. A thing that stands alone
// goes to the first board with a free pin if need be.
func (l *list) add(things []thing) {
	var rest []thing
	for _, t := range things {
		if pin, planned := l.planned[t]; planned {
			l.put(l.job(Add, t, l.new, l.is[t], pin))
		} else if pin, inherits := l.inherited[t]; inherits {
			l.added = append(l.added, hook{t, pin})
			l.put(l.job(Add, t, l.new, l.is[t], pin))
		} else {
			rest = append(rest, t)
		}
	}
	if len(rest) == 0 {
		return
	}
	var free []wiring.Terminal
	for _, on := range l.suitable(rest[0], len(rest)) {
		if free = l.free(on); len(free) >= len(rest) {
			break
		}
		free = nil
	}
	for _, on := range l.boards[like{rest[0].kind, rest[0].id}] {
		if len(free) < len(rest) && on < len(l.relay.Boards) {
			free = append(free, l.free(on)...)
		}
	}
	for i, t := range rest {
		at := wiring.Terminal{}
		if i < len(free) {
			at = free[i]
			l.taken[at] = true
			l.added = append(l.added, hook{t, at})
		}
		l.put(l.job(Add, t, l.new, l.is[t], at))
	}
}

// suitable are the boards that so many things like one may go to, best first:
// those of its own rank or box, of its kind, of what is akin, then empty ones.
func (l *list) suitable(t thing, count int) []int {
	direction := wiring.Output
	if l.is[t].Given() {
		direction = wiring.Input
	}
	boards := slices.Concat(l.boards[like{t.kind, t.id}], l.boards[like{kind: t.kind}])
	for _, kinds := range akin {
		if slices.Contains(kinds, t.kind) {
			for _, kind := range kinds {
				boards = append(boards, l.boards[like{kind: kind}]...)
			}
		}
	}
	for on := range l.relay.Boards {
		if count == 1 || !l.carries(on) {
			boards = append(boards, on)
		}
	}
	return slices.DeleteFunc(boards, func(on int) bool {
		return on >= len(l.relay.Boards) || l.relay.Boards[on].Direction != direction
	})
}

// carries reports whether anything hangs on a board.
func (l *list) carries(on int) bool {
	for _, s := range l.soldered {
		if l.relay.Soldered()[s.row].Pins[s.at].On == on {
			return true
		}
	}
	return false
}

// free are the pins of a board that nothing is on. What was taken off it has left
// its pin free before anything is added.
func (l *list) free(on int) []wiring.Terminal {
	var pins []wiring.Terminal
	for pin := 1; pin <= l.relay.Boards[on].Pins; pin++ {
		if t := (wiring.Terminal{On: on, Pin: pin}); !l.taken[t] {
			pins = append(pins, t)
		}
	}
	return pins
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

// sorted puts what is taken off before what is moved and added, then labels, and rows last.
func (l *list) sorted() []Job {
	order := []Do{Remove, Move, Add, Retag, Write}
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
