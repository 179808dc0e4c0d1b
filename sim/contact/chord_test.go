package contact_test

import (
	"fmt"
	"math/bits"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/contact"
)

// anyScan is a scan of 3 by 4 crossings, ten of them keys, with diodes at
// random.
func anyScan(t *testing.T, seed uint64) (*contact.Scan, *console.Instrument) {
	r := rand.New(rand.NewPCG(seed, 0))
	list := map[string][]string{}
	for pin := 1; pin <= 12; pin++ {
		switch r.IntN(5) {
		case 0, 1:
			list["missing"] = append(list["missing"], fmt.Sprint(pin))
		case 2:
			list["reversed"] = append(list["reversed"], fmt.Sprint(pin))
		}
	}
	diodes := fmt.Sprintf("{missing: [%s], reversed: [%s]}", strings.Join(list["missing"], ", "), strings.Join(list["reversed"], ", "))
	var notes []string
	for range 10 {
		notes = append(notes, console.Note(36+r.IntN(61)).String())
	}
	relay, in := load(t, "  K1: {kind: input, pins: 12, scan: {rows: 3, columns: 4, diodes: "+diodes+"}}",
		"K1,1..10,key,great,"+strings.Join(notes, " ")+",,,\n", "")
	return scanOf(t, relay, in), in
}

// Every chord tried, one after the other: the phantoms are those that some
// chord raises, each with a chord as small as the smallest, and playable where
// a playable one raises it. Ten notes at random may name a key twice: it then
// closes two contacts.
func TestChordsAreTheSmallestOfAll(t *testing.T) {
	phantoms, doubled := 0, 0
	for seed := range uint64(60) {
		s, in := anyScan(t, seed)
		smallest, playable := map[int]int{}, map[int]int{}
		for chord := range 1 << len(s.Presses) {
			closed, held := map[int]bool{}, []console.Key{}
			for i, p := range s.Presses {
				if chord>>i&1 == 1 {
					held = append(held, console.Key{Keyboard: p.Item.Index, Note: console.Note(p.Item.Note)})
					for _, c := range p.Closes {
						closed[c] = true
					}
				}
			}
			size := bits.OnesCount(uint(chord))
			for crossing, read := range s.Read(list(closed)) {
				if !read || closed[crossing] || crossing >= 10 {
					continue
				}
				if n, known := smallest[crossing]; !known || size < n {
					smallest[crossing] = size
				}
				if n, known := playable[crossing]; (!known || size < n) && contact.Playable(in, held) {
					playable[crossing] = size
				}
			}
		}
		found := s.Phantoms()
		require.Len(t, found, len(smallest), "seed %d", seed)
		for _, p := range found {
			if n, can := playable[p.Crossing]; can {
				require.True(t, p.Playable, "seed %d crossing %d", seed, p.Crossing)
				require.Len(t, p.Chord, n, "seed %d crossing %d", seed, p.Crossing)
			} else {
				require.False(t, p.Playable || p.Unsure, "seed %d crossing %d", seed, p.Crossing)
				require.Len(t, p.Chord, smallest[p.Crossing], "seed %d crossing %d", seed, p.Crossing)
			}
			phantoms++
		}
		if len(s.Presses) < 10 {
			doubled++
		}
	}
	require.Greater(t, phantoms, 100)
	require.Greater(t, doubled, 10)
}

func list(set map[int]bool) []int {
	var members []int
	for m := range set {
		members = append(members, m)
	}
	return members
}
