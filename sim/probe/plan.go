package probe

import (
	"math/rand/v2"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Step is one registration, and the chords to press with it one by one.
type Step struct {
	Draw   []int // controls that are on, ascending
	Chords [][]console.Held
}

// Plan is a test of a whole relay, step by step.
type Plan struct {
	Steps []Step
	Loop  Loop // a plug that is in meanwhile; nil for none
}

// Presses is how many chords the plan presses.
func (p Plan) Presses() int {
	n := 0
	for _, s := range p.Steps {
		n += len(s.Chords)
	}
	return n
}

// OneByOne is how many presses the same registrations need when every key of
// theirs is pressed alone.
func (p Plan) OneByOne() int {
	n := 0
	for _, s := range p.Steps {
		keys := map[console.Key]bool{}
		for _, chord := range s.Chords {
			for _, h := range chord {
				keys[h.Key] = true
			}
		}
		n += len(keys)
	}
	return n
}

// planner writes a plan.
type planner struct {
	in        *console.Instrument
	witnesses []witness
	seconds   []witness // of other stops
	wants     [][]taken // by stop
	coded     [][]int   // all stops by code
	fills     map[string][][]int
	movers    []mover
	luck      *rand.Rand
	plan      Plan
	done      map[string]bool
}

func newPlanner(in *console.Instrument) *planner {
	p := &planner{in: in, done: map[string]bool{}, fills: map[string][][]int{}, movers: listMovers(in), luck: rand.New(rand.NewPCG(1, uint64(len(in.Controls))))}
	for s := range in.Stops {
		p.wants = append(p.wants, wants(in, s))
	}
	var all []int
	for s := range in.Stops {
		all = append(all, s)
	}
	p.coded = p.code(all)
	p.chooseWitnesses()
	return p
}

// New plans the test of a relay that should play an instrument:
//
//   - all stops, one by one, and drawn by a code of their own, so that of any two
//     there is a step with the one and without the other;
//   - every coupler, unison off and other control that moves keys: alone, with
//     all stops by turns, with all that should be nothing to it, and with each
//     that it may meet;
//   - the controls of every row of the relay's own table that asks for several;
//   - and controls by chance, for what only three or more show together.
//
// Chords are those of the counting sequence of circuit-board testing (Kautz
// 1974) and their complements (Wagner 1987): the keys of a step are numbered,
// a chord is all keys whose number has a bit, or lacks it, so that of any two
// keys there is a chord with the one and without the other. Where the keys are
// known already a few chords press each once, none with one that couplers may
// put in its place. The plan of the same relay is always the same.
func New(in *console.Instrument, r *wiring.Relay) Plan {
	p := newPlanner(in)
	p.stops()
	p.amid()
	p.moving()
	p.rows(r)
	p.chance()
	return p.plan
}

// taken is a valve that a stop opens by a note of its line.
type taken struct {
	valve int
	note  console.Note
}

// wants are the valves that a stop opens, each once.
func wants(in *console.Instrument, stop int) (list []taken) {
	at := map[int]int{}
	s := in.Stops[stop]
	for _, take := range s.Takes {
		notes := in.Divisions[s.Division].Notes.Cut(s.Notes).Cut(take.Notes)
		for n := notes.From; n <= notes.To; n++ {
			v := in.Wants(take, n)
			if v == console.None {
				continue
			}
			if i, twice := at[v]; twice {
				list[i].note = n
				continue
			}
			at[v] = len(list)
			list = append(list, taken{v, n})
		}
	}
	return list
}

// apart keeps stops that do not open a valve by different keys.
type apart struct {
	p  *planner
	by []console.Key // by valve: division and note that open it, the division from 1
}

// take adds a stop to those that are kept, if it gets in the way of none.
func (a *apart) take(stop int) bool {
	d := a.p.in.Stops[stop].Division + 1
	for _, t := range a.p.wants[stop] {
		if by := a.by[t.valve]; by.Keyboard != 0 && by != (console.Key{Keyboard: d, Note: t.note}) {
			return false
		}
	}
	for _, t := range a.p.wants[stop] {
		a.by[t.valve] = console.Key{Keyboard: d, Note: t.note}
	}
	return true
}

func (p *planner) apart() *apart { return &apart{p, make([]console.Key, p.in.Valves)} }

// stops are the steps that draw the controls which move no keys by code: the
// stops, then those that open no valve at all.
func (p *planner) stops() {
	for _, draw := range p.coded {
		p.step(draw, p.keyboards()...)
		p.sparse(draw, p.keyboards()...) // a valve may have three keys, and a code tells two apart
	}
	for _, stop := range p.in.Stops {
		p.sparse([]int{stop.Control}, p.keyboards()...) // a code tells two stops apart, and more may share a rank
	}
	others := p.others()
	for _, set := range Counting(len(others)) {
		var draw []int
		for _, i := range set {
			draw = append(draw, others[i])
		}
		p.step(draw, p.keyboards()...)
	}
}

// amid are the same stops while all couplers are on, and one by one what cuts.
func (p *planner) amid() {
	var couplers []int
	for _, c := range p.in.Couplers {
		couplers = append(couplers, c.Control)
	}
	amid := func(cutters ...int) {
		for _, draw := range p.coded {
			p.sparse(slices.Concat(draw, couplers, cutters), p.keyboards()...)
		}
	}
	amid()
	for _, m := range p.movers {
		if m.cuts {
			amid(m.control)
		}
	}
}

// others are the controls that neither open valves nor move keys.
func (p *planner) others() []int {
	var list []int
	for c, control := range p.in.Controls {
		switch control.Kind {
		case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
		default:
			list = append(list, c)
		}
	}
	return list
}

// code are registrations that draw stops by code, parted so that no two stops of
// one open a valve by different keys. The complements have the controls besides
// that should be nothing to stops and keys.
func (p *planner) code(stops []int) (list [][]int) {
	for i, set := range Counting(len(stops)) {
		for len(set) > 0 {
			kept, draw := p.apart(), []int(nil)
			set = slices.DeleteFunc(set, func(i int) bool {
				taken := kept.take(stops[i])
				if taken {
					draw = append(draw, p.in.Stops[stops[i]].Control)
				}
				return taken
			})
			if i%2 == 1 {
				draw = append(draw, p.others()...)
			}
			list = append(list, draw)
		}
	}
	return list
}

// Counting are the subsets of 0 to n-1 whose number, from 1, has a bit, and
// those whose number lacks it, by turns; no number is all ones.
func Counting(n int) [][]int {
	var sets [][]int
	for bit := 1; bit < n+2; bit *= 2 {
		var with, without []int
		for i := range n {
			if (i+1)&bit != 0 {
				with = append(with, i)
			} else {
				without = append(without, i)
			}
		}
		sets = append(sets, with, without)
	}
	return sets
}

func (p *planner) keyboards() []int {
	list := make([]int, len(p.in.Keyboards))
	for i := range list {
		list[i] = i
	}
	return list
}

// step adds the chords by which every key of some keyboards is known.
func (p *planner) step(draw []int, keyboards ...int) {
	keys := p.keys(keyboards)
	p.press(draw, keys, Counting(len(keys)))
}

// sparseChords is how many sparse chords have all keys.
const sparseChords = 5

// sparseChord is the one that a note is in. None of the shifts 1, 5, 7 and 10, of
// couplers and of two of them together, leads to a note of the same, nor up to four
// octaves, by which ranks fold; the table was found by trying.
func sparseChord(n console.Note) int {
	return ([12]int{0, 4, 3, 4, 3, 1, 0, 1, 2, 4, 2, 1}[n%12] + 4*int(n/12)) % sparseChords
}

// sparse adds a few chords that press every key of some keyboards once. They
// tell which control passes keys, and by how much, where the keys themselves
// are known from other steps.
func (p *planner) sparse(draw []int, keyboards ...int) {
	keys := p.keys(keyboards)
	sets := make([][]int, sparseChords)
	for i, key := range keys {
		at := sparseChord(key.Note)
		sets[at] = append(sets[at], i)
	}
	p.press(draw, keys, sets)
}

// some adds one of the sparse chords of a keyboard.
func (p *planner) some(draw []int, keyboard, which int) {
	keys := p.keys([]int{keyboard})
	var set []int
	for i, key := range keys {
		if sparseChord(key.Note) == which%sparseChords {
			set = append(set, i)
		}
	}
	p.press(draw, keys, [][]int{set})
}

func (p *planner) keys(keyboards []int) []console.Key {
	var keys []console.Key
	for _, k := range keyboards {
		keyboard := p.in.Keyboards[k]
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			keys = append(keys, console.Key{Keyboard: k, Note: n})
		}
	}
	return keys
}

// press adds chords of sets of keys, and where there is a second touch those
// of the same keys pressed deep.
func (p *planner) press(draw []int, keys []console.Key, sets [][]int) {
	var soft, hard [][]console.Held
	touches := false
	for _, set := range sets {
		if len(set) == 0 {
			continue
		}
		var shallow, deep []console.Held
		for _, i := range set {
			second := p.in.Keyboards[keys[i].Keyboard].Touches == 2
			touches = touches || second
			shallow, deep = append(shallow, console.Held{Key: keys[i]}), append(deep, console.Held{Key: keys[i], Deep: second})
		}
		soft, hard = append(soft, shallow), append(hard, deep)
	}
	if touches {
		soft = append(soft, hard...)
	}
	p.add(draw, soft)
}

// add adds chords to a registration, once.
func (p *planner) add(draw []int, chords [][]console.Held) {
	draw = slices.Compact(slices.Sorted(slices.Values(draw)))
	name := stepName(draw, chords)
	if p.done[name] {
		return
	}
	p.done[name] = true
	p.plan.Steps = append(p.plan.Steps, Step{draw, chords})
}
