package listen

import (
	"fmt"
	"slices"

	"trundle/console"
)

// Verdict is what an ear says of a try.
type Verdict string

const (
	Speaks  Verdict = "speaks"      // all that should sound does, and nothing else
	Dead    Verdict = "dead"        // something should sound, and nothing does
	Sounds  Verdict = "sounds"      // what another key of the keyboard should sound, and nothing else
	Also    Verdict = "also sounds" // all that should, and what another key should
	Wrong   Verdict = "wrong"       // something, and it is not what should sound
	Ciphers Verdict = "ciphers"     // something sounds before a key is pressed

	// Nothing is what a person says of a stop or coupler: it sounds as without it.
	Nothing Verdict = "adds nothing"

	// Stays is what a person says of a stop or coupler that is not drawn: it sounds as
	// with it.
	Stays Verdict = "stays on"

	// hangs is what a person says of a key, of which it ciphers, or of a stop, which stays on.
	hangs Verdict = "hangs"

	// swapped is what a person says of two keys: each sounds as the other should.
	swapped Verdict = "swapped"
)

// Heard is a verdict, with the other key where it names one.
type Heard struct {
	Verdict
	Note  console.Note
	shift int // of several keys: semitones from each to the key that it sounds as; not 0 stands for Note
}

func (h Heard) String() string {
	switch {
	case h.shift > 0:
		return fmt.Sprintf("sounds %s too high", semitones(h.shift))
	case h.shift < 0:
		return fmt.Sprintf("sounds %s too low", semitones(-h.shift))
	}
	if h.Verdict == Sounds || h.Verdict == Also {
		return string(h.Verdict) + " " + h.Note.String()
	}
	return string(h.Verdict)
}

func semitones(n int) string {
	if n == 1 {
		return "a semitone"
	}
	return fmt.Sprintf("%d semitones", n)
}

// means reports whether what a person said covers what an exact ear says. Who
// says wrong has not said more; who names a key means it.
func (h Heard) means(exact Heard) bool {
	if h.Verdict == Wrong {
		return exact.Verdict == Wrong || exact.Verdict == Sounds || exact.Verdict == Also
	}
	return h == exact
}

// keysOf is what each key of a keyboard, alone, should sound in a registration.
// It is asked for while no mistake is put in.
func (p *pool) keysOf(reg int32, keyboard int) []opened {
	r := &p.regs[reg]
	if r.keys == nil {
		r.keys = make([][]opened, len(p.l.in.Keyboards))
	}
	if r.keys[keyboard] == nil {
		keys := p.l.in.Keyboards[keyboard].Keys
		for n := keys.From; n <= keys.To; n++ {
			r.keys[keyboard] = append(r.keys[keyboard], opened{n, p.l.windy(nil, p.l.m.run(Try{r.draw, p.l.press(keyboard, n)}), r.airless)})
		}
	}
	return r.keys[keyboard]
}

// judge is what an exact ear says where got sounds and want should, and nothing while
// no key is pressed, of what the keys of the keyboard should sound; of keys that sound alike it names the one
// nearest to the key pressed.
func judge(want, got []int32, keys []opened, pressed console.Note) Heard {
	switch {
	case slices.Equal(want, got):
		return Heard{Verdict: Speaks}
	case len(got) == 0:
		return Heard{Verdict: Dead}
	}
	named := func(v Verdict, is func(open []int32) bool) (Heard, bool) {
		best, found := Heard{Verdict: v}, false
		for _, k := range keys {
			if len(k.open) > 0 && (!found || apart(k.note, pressed) < apart(best.Note, pressed)) && is(k.open) {
				best.Note, found = k.note, true
			}
		}
		return best, found
	}
	if h, is := named(Sounds, func(open []int32) bool { return slices.Equal(open, got) }); is {
		return h
	}
	if len(want) > 0 && within(want, got) {
		if h, is := named(Also, func(open []int32) bool { return within(open, got) && len(got) == both(want, open) }); is {
			return h
		}
	}
	return Heard{Verdict: Wrong}
}

func apart(a, b console.Note) int { return max(int(a-b), int(b-a)) }

// within reports whether a sorted set lies in another.
func within(a, b []int32) bool {
	for _, x := range a {
		if _, is := slices.BinarySearch(b, x); !is {
			return false
		}
	}
	return true
}

// both is how many numbers two sorted sets have together.
func both(a, b []int32) int {
	n := len(a)
	for _, x := range b {
		if _, is := slices.BinarySearch(a, x); !is {
			n++
		}
	}
	return n
}

// hearing is what an ear would say of a pool's tries with one mistake: of those
// that said does not have, that they speak.
type hearing struct {
	p      *pool
	said   map[int32]Heard   // by try, but for registrations in which something sounds while nothing is held
	quiet  map[int32][]int32 // by registration: what sounds while nothing is held, where it may
	sounds map[int32][]int32 // by try: what sounds, of those of which that is wanted
}

// listen is what an ear would say of the tries on which a mistake bears. What a
// row of the table does that asks otherwise depends on where that makes a
// difference, and not on what it asks: such mistakes are heard once.
func (p *pool) listen(x patch) hearing {
	changed := p.changes(x)
	if changed == nil {
		return p.hear(x)
	}
	key := []byte(fmt.Sprint(x.row))
	for _, c := range changed {
		if c {
			key = append(key, 1)
		} else {
			key = append(key, 0)
		}
	}
	h, known := p.heard[string(key)]
	if !known {
		h = p.hear(x)
		p.heard[string(key)] = h
	}
	return h
}

// hear is what an ear would say with some mistakes at a time.
func (p *pool) hear(some ...patch) hearing {
	var tries []int32
	for _, x := range some {
		for t := range p.bearing(x) {
			tries = append(tries, t)
			if held := p.tries[t].Held; len(held) == 1 {
				p.keysOf(p.reg[t], held[0].Keyboard)
			}
		}
	}
	tries = sortedSet(tries)
	h := hearing{p, map[int32]Heard{}, map[int32][]int32{}, map[int32][]int32{}}
	if len(tries) == 0 {
		return h
	}
	for _, x := range some {
		defer p.l.m.put(x)()
	}
	run := func(t int32) []int32 { return p.l.m.run(p.tries[t]) }
	if len(some) == 1 {
		run = func(t int32) []int32 { return p.with(some[0], t) }
	}
	var got []int32
	for _, t := range tries {
		reg := p.reg[t]
		r := &p.regs[reg]
		if _, known := h.quiet[reg]; !known {
			h.quiet[reg] = p.l.windy(nil, run(r.quiet), r.airless)
		}
		if len(h.quiet[reg]) > 0 {
			continue
		}
		got = p.l.windy(got[:0], run(t), r.airless)
		if p.exact[t] {
			h.sounds[t] = slices.Clone(got)
		}
		var keys []opened
		var pressed console.Note
		if held := p.tries[t].Held; len(held) == 1 {
			keys, pressed = r.keys[held[0].Keyboard], held[0].Note
		}
		if v := judge(p.open[t], got, keys, pressed); v.Verdict != Speaks {
			h.said[t] = v
		}
	}
	return h
}

// of is what is heard of a try.
func (h hearing) of(try int32) Heard {
	if h.ciphers(try) {
		return Heard{Verdict: Ciphers}
	}
	if v, is := h.said[try]; is {
		return v
	}
	return Heard{Verdict: Speaks}
}

// ciphers reports whether something sounds while nothing is held, with what is drawn.
func (h hearing) ciphers(try int32) bool { return len(h.quiet[h.p.reg[try]]) > 0 }

// open is what sounds in a try of which that is wanted.
func (h hearing) open(try int32) []int32 {
	if got, is := h.sounds[try]; is {
		return got
	}
	return h.p.open[try]
}
