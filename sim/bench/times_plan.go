package bench

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"trundle/console"
	"trundle/console/plain"
	"trundle/midiio/mapping"
)

// Load is what Times is to do.
type Load struct {
	Trips    int           // that are measured alone
	Repeat   time.Duration // how long one key is repeated, at each rate
	Full     time.Duration // how long the link is kept full
	Soak     time.Duration // how long all is worked by chance
	Seed     uint64        // of the chance
	ByteTime time.Duration // of the link
}

// rates are how often a second a magnet is to follow: what fast players ask of
// an action (common practice, no source).
var rates = []int{8, 10, 12}

// NewTimes plans a test: with one stop, whose keys open one valve each. It fails
// where the map has no such stop and keys.
func NewTimes(in *console.Instrument, m *mapping.Map, load Load) (*Times, error) {
	control, keys, valves := witness(in, m)
	if control < 0 {
		return nil, fmt.Errorf("%s: no stop whose keys open one valve each is in the map, with messages for the stop, its keys and its valves", in.File)
	}
	t := &Times{in: in, rate: load.ByteTime, line: line{end: m.End(mapping.AtConsole, "organ")}, open: make([]bool, in.Valves)}
	r := rand.New(rand.NewPCG(load.Seed, 7))
	begin := phase{name: "begin"}
	for c := range in.Controls {
		begin.beats = append(begin.beats, beat{event: console.Push(c), valve: -1})
	}
	begin.beats = append(begin.beats, beat{at: listening, event: console.Draw(control), valve: -1})
	t.todo = append(t.todo, begin)
	touch := func(at time.Duration, i, contacts int) beat {
		return beat{at: at, event: console.KeyMoved(keys[i], contacts, ""), valve: valves[i], open: contacts > 0, answers: 1}
	}
	trips := phase{name: "round trip"}
	for i := range load.Trips {
		at := time.Duration(i)*200*time.Millisecond + time.Duration(r.IntN(50_000))*time.Microsecond
		k := r.IntN(len(keys))
		trips.beats = append(trips.beats, touch(at, k, 1), touch(at+100*time.Millisecond, k, 0))
	}
	t.todo = append(t.todo, trips)
	for _, hz := range rates {
		p, each := phase{name: fmt.Sprintf("%d times a second", hz)}, time.Second/time.Duration(hz)
		for i := range time.Duration(hz) * load.Repeat / time.Second {
			p.beats = append(p.beats, touch(i*each, 0, 1), touch(i*each+each/2, 0, 0))
		}
		t.todo = append(t.todo, p)
	}
	full, every := phase{name: "full link"}, 2*load.ByteTime // under running status
	for i, at := 0, time.Duration(0); at < load.Full; i, at = i+1, at+every {
		full.beats = append(full.beats, touch(at, i%len(keys), 1-i/len(keys)%2))
	}
	for i := range keys {
		full.beats = append(full.beats, touch(load.Full+tail+time.Duration(i)*every, i, 0))
	}
	t.todo = append(t.todo, full, soak(in, load, r))
	return t, nil
}

// witness is a stop, keys of one keyboard, and the valve that each opens alone
// with that stop.
func witness(in *console.Instrument, m *mapping.Map) (control int, keys []console.Key, valves []int) {
	has := func(t mapping.Thing, way mapping.Way) bool {
		entry, ok := m.Find(t)
		return ok && entry.Has(way)
	}
	for _, stop := range in.Stops {
		home := in.Divisions[stop.Division].Keyboard
		if home == console.None || !has(mapping.Thing{Kind: mapping.Control, Index: stop.Control}, mapping.ToOrgan) {
			continue
		}
		keys, valves = nil, nil
		state := console.State{Drawn: make([]bool, len(in.Controls))}
		state.Drawn[stop.Control] = true
		span := in.Keyboards[home].Keys
		for n := span.From; n <= span.To; n++ {
			key := console.Key{Keyboard: home, Note: n}
			state.Held = []console.Held{{Key: key}}
			opens := plain.Open(in, state)
			valve := slices.Index(opens, true)
			if valve < 0 || slices.Contains(opens[valve+1:], true) || slices.Contains(valves, valve) {
				continue
			}
			if has(mapping.Thing{Kind: mapping.Key, Index: home, Note: n}, mapping.ToOrgan) && has(mapping.Thing{Kind: mapping.Valve, Index: valve}, mapping.ToConsole) {
				keys, valves = append(keys, key), append(valves, valve)
			}
		}
		if len(keys) > 0 {
			return stop.Control, keys, valves
		}
	}
	return -1, nil, nil
}

// soak works keys, stops and couplers by chance, and lets go of all.
func soak(in *console.Instrument, load Load, r *rand.Rand) phase {
	p, sounding := phase{name: "soak"}, console.NewSounding(in)
	held, drawn := map[console.Key]bool{}, make([]bool, len(in.Controls))
	at := time.Duration(0)
	add := func(e console.Event, makes console.Change) {
		p.beats = append(p.beats, beat{at: at, event: e, valve: -1, answers: max(1, len(sounding.Apply(makes)))})
	}
	for ; at < load.Soak; at += time.Duration(r.ExpFloat64() * float64(5*time.Millisecond)) {
		if r.IntN(10) == 0 && len(in.Controls) > 0 {
			c := r.IntN(len(in.Controls))
			if drawn[c] = !drawn[c]; drawn[c] {
				add(console.Draw(c), console.TurnOn(c))
			} else {
				add(console.Push(c), console.TurnOff(c))
			}
			continue
		}
		k := r.IntN(len(in.Keyboards))
		span := in.Keyboards[k].Keys
		key := console.Key{Keyboard: k, Note: span.From + console.Note(r.IntN(span.Len()))}
		if held[key] = !held[key]; held[key] {
			add(console.KeyMoved(key, 1, ""), console.KeyDown(key))
		} else {
			add(console.KeyMoved(key, 0, ""), console.KeyUp(key))
		}
	}
	var down []console.Key
	for key, is := range held {
		if is {
			down = append(down, key)
		}
	}
	slices.SortFunc(down, func(a, b console.Key) int {
		return cmp.Or(cmp.Compare(a.Keyboard, b.Keyboard), cmp.Compare(a.Note, b.Note))
	})
	for _, key := range down {
		add(console.KeyMoved(key, 0, ""), console.KeyUp(key))
	}
	for c := range in.Controls {
		add(console.Push(c), console.TurnOff(c))
	}
	return p
}
