package console

// Sounding knows which valves are open while keys are played and controls
// turned. It is compiled once from an instrument and then follows changes
// without resolving the whole again, and without allocating.
//
// The way from a key to a valve is a chain of counts, each of which passes on
// only that it left zero or came back to it: how many held keys move a key,
// how many ways lead to an own key, to a note of a division's line, and from
// there to a valve. Since the first of them counts held keys and not paths,
// couplers that move each other's keys never hold one another on.
//
// It must agree with console/plain, which says the same slowly.
type Sounding struct {
	in *Instrument

	// What was worked.
	held      [contacts][]noteSet // keys, by keyboard
	on        []bool              // by control
	transpose int                 // semitones

	// The ways that are open now, made anew by connect.
	keyboards []keyboardWays
	divisions []divisionWays

	// Counts by contact, keyboard or division, and note.
	moved, own, line []int32
	movedSet         []noteSet // where moved is not zero
	lineSet          []noteSet // where line was not zero when the valves last followed

	// What the stops take, and which of it they take now.
	stops []stopSlots
	takes []lineTakes // by contact and division

	// Valves and their wind.
	paths   []int32 // by valve: ways that lead to it
	rankOf  []int32 // by valve
	states  []valveState
	open    int     // valves that are open
	airless []int32 // by rank: ventils that keep its wind away

	// For Because, each made when first asked for.
	takers [][]taker // by valve
	trails []trails  // of held keys, nil when something has changed since

	// Work in hand, kept so that nothing is allocated.
	queue   []int32 // keys that reach visits
	seen    []bool  // keys that reach has met
	lines   agenda  // notes of lines whose count left zero or came back to it
	valves  agenda  // valves whose state may have changed
	changed []int   // what Apply returns
}

// contacts is how many contacts a key can have; first and second index them.
const (
	first = iota
	second
	contacts
)

// valveState is what a listener knows of a valve.
type valveState uint8

const (
	shut     valveState = iota
	windless            // open, but its pipes have no wind
	speaking
)

// agenda is a list in which everything stands once.
type agenda struct {
	list   []int32
	listed []bool
}

func newAgenda(size int) agenda {
	return agenda{make([]int32, 0, size), make([]bool, size)}
}

func (a *agenda) add(i int32) {
	if !a.listed[i] {
		a.listed[i] = true
		a.list = append(a.list, i)
	}
}

// NewSounding compiles an instrument that has no errors. Nothing is held or
// on. The instrument must not change afterwards.
func NewSounding(in *Instrument) *Sounding {
	keys, notes := contacts*len(in.Keyboards)*noteCount, contacts*len(in.Divisions)*noteCount
	s := &Sounding{
		in:        in,
		on:        make([]bool, len(in.Controls)),
		keyboards: make([]keyboardWays, len(in.Keyboards)),
		divisions: make([]divisionWays, len(in.Divisions)),
		moved:     make([]int32, keys),
		own:       make([]int32, notes),
		line:      make([]int32, notes),
		movedSet:  make([]noteSet, contacts*len(in.Keyboards)),
		lineSet:   make([]noteSet, contacts*len(in.Divisions)),
		paths:     make([]int32, in.Valves),
		rankOf:    make([]int32, in.Valves),
		states:    make([]valveState, in.Valves),
		airless:   make([]int32, len(in.Ranks)),
		queue:     make([]int32, 0, keys),
		seen:      make([]bool, keys),
		lines:     newAgenda(notes),
		valves:    newAgenda(in.Valves),
		changed:   make([]int, 0, in.Valves),
	}
	for c := range s.held {
		s.held[c] = make([]noteSet, len(in.Keyboards))
	}
	for r, rank := range in.Ranks {
		for v := range rank.Pipes {
			s.rankOf[rank.First+v] = int32(r)
		}
	}
	for _, v := range in.Ventils {
		s.block(v.Admits, 1)
	}
	s.compileTakes()
	s.connect()
	return s
}

// Open reports whether a valve is open.
func (s *Sounding) Open(valve int) bool { return s.states[valve] != shut }

// Speaks reports whether a valve is open and its pipes have wind.
func (s *Sounding) Speaks(valve int) bool { return s.states[valve] == speaking }

// OpenCount is how many valves are open.
func (s *Sounding) OpenCount() int { return s.open }

// Moved reports whether a key is down: held, or moved by a coupler that
// carries all.
func (s *Sounding) Moved(keyboard int, n Note) bool {
	return AllNotes.Has(n) && s.movedSet[s.keyboard(first, keyboard)].has(int(n))
}

// Line reports whether a note is on a division's line.
func (s *Sounding) Line(division int, n Note) bool {
	return AllNotes.Has(n) && s.lineSet[s.division(first, division)].has(int(n))
}

// keyboard and division index what is kept by contact and one of them.
func (s *Sounding) keyboard(contact, m int) int { return contact*len(s.keyboards) + m }

func (s *Sounding) division(contact, d int) int { return contact*len(s.divisions) + d }
