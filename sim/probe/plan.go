package probe

import (
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
type Plan struct{ Steps []Step }

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
	plan      Plan
	done      map[string]bool
}

// New plans the test of a relay that should play an instrument:
//
//   - all stops, drawn by a code of their own, so that of any two there is a
//     step with the one and without the other;
//   - every coupler, unison off and other control that moves keys, alone, with
//     all that should be nothing to it, and with each that it may meet;
//   - the controls of every row of the relay's own table that asks for several;
//   - and controls by chance, for what only three or more show together.
//
// Chords are those of the counting sequence of circuit-board testing (Kautz
// 1974) and their complements (Wagner 1987): the keys of a step are numbered,
// a chord is all keys whose number has a bit, or lacks it, so that of any two
// keys there is a chord with the one and without the other.
func New(in *console.Instrument, r *wiring.Relay) Plan {
	p := &planner{in: in, done: map[string]bool{}}
	p.stops()
	p.chooseWitnesses()
	p.movers()
	p.rows(r)
	p.chance()
	return p.plan
}

// wants are the valves that a stop opens by the notes of its line.
func wants(in *console.Instrument, stop int) map[int]console.Note {
	valves := map[int]console.Note{}
	s := in.Stops[stop]
	for _, take := range s.Takes {
		notes := in.Divisions[s.Division].Notes.Cut(s.Notes).Cut(take.Notes)
		for n := notes.From; n <= notes.To; n++ {
			if v := in.Wants(take, n); v != console.None {
				valves[v] = n
			}
		}
	}
	return valves
}

// apart keeps stops that do not open a valve by different keys.
type apart struct {
	in *console.Instrument
	by map[int]console.Key // by valve: division and note that open it
}

// take adds a stop to those that are kept, if it gets in the way of none.
func (a *apart) take(stop int) bool {
	d := a.in.Stops[stop].Division
	valves := wants(a.in, stop)
	for v, n := range valves {
		if by, taken := a.by[v]; taken && by != (console.Key{Keyboard: d, Note: n}) {
			return false
		}
	}
	for v, n := range valves {
		a.by[v] = console.Key{Keyboard: d, Note: n}
	}
	return true
}

func (p *planner) apart() *apart { return &apart{p.in, map[int]console.Key{}} }

// stops are the steps that draw the controls which move no keys by code: the
// stops, then those that open no valve at all.
func (p *planner) stops() {
	var stops []int
	for s := range p.in.Stops {
		stops = append(stops, s)
	}
	p.code(stops, nil, p.keyboards())
	others := p.others()
	for _, set := range counting(len(others)) {
		var draw []int
		for _, i := range set {
			draw = append(draw, others[i])
		}
		p.step(draw, p.keyboards()...)
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

// code are the steps that draw stops by code, with other controls, parted so
// that no two stops of one step open a valve by different keys.
func (p *planner) code(stops, with, keyboards []int) {
	for _, set := range counting(len(stops)) {
		for len(set) > 0 {
			kept, draw := p.apart(), slices.Clone(with)
			set = slices.DeleteFunc(set, func(i int) bool {
				taken := kept.take(stops[i])
				if taken {
					draw = append(draw, p.in.Stops[stops[i]].Control)
				}
				return taken
			})
			p.step(draw, keyboards...)
		}
	}
}

// counting are the subsets of 0 to n-1 whose number, from 1, has a bit, and
// those whose number lacks it; no number is all ones.
func counting(n int) [][]int {
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
	return slices.DeleteFunc(sets, func(s []int) bool { return len(s) == 0 })
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
	p.press(draw, keys, counting(len(keys)))
}

// apartBy is how many keys apart those of a sparse chord are: no divisor of a
// shift that couplers have.
const apartBy = 5

// sparse adds a few chords that press every key of some keyboards once. They
// tell which control passes keys, and by how much, where the keys themselves
// are known from other steps.
func (p *planner) sparse(draw []int, keyboards ...int) {
	keys := p.keys(keyboards)
	sets := make([][]int, apartBy)
	for i, key := range keys {
		at := int(key.Note) % apartBy
		sets[at] = append(sets[at], i)
	}
	p.press(draw, keys, sets)
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
	slices.Sort(draw)
	draw = slices.Compact(draw)
	name := stepName(draw, chords)
	if p.done[name] {
		return
	}
	p.done[name] = true
	p.plan.Steps = append(p.plan.Steps, Step{draw, chords})
}
