package fault

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// findEvery is Find without a short cut: it makes every mistake and looks at all.
func findEvery(r *wiring.Relay, in *console.Instrument, text string) (Fault, error) {
	class, where, _ := strings.Cut(text, ":")
	where, with, _ := strings.Cut(where, "=")
	pins := pinsOf(r, where)
	var others []string
	var found []Fault
	for _, s := range Sites(r, in) {
		if s.Class != class {
			continue
		}
		for i := range s.Count {
			f := s.Way(i)
			switch {
			case !f.at(where, pins) || !says(f.Where, with):
				others = append(others, strconv.Quote(class+":"+base(f.Where)))
			case f.Where == where || base(f.Where) == where || s.In == Soldered && len(pins) > 0:
				return f, nil
			case !slices.ContainsFunc(found, func(known Fault) bool { return known.Where == f.Where }):
				found = append(found, f)
			}
		}
	}
	switch {
	case len(found) == 0:
		return Fault{}, fmt.Errorf("no mistake %s can be made in this relay; one is %s", text, others[0])
	case len(found) > 1:
		var list []string
		for _, f := range found[:min(shown, len(found))] {
			list = append(list, strconv.Quote(class+":"+base(f.Where)))
		}
		return Fault{}, fmt.Errorf("%s may be any of %d mistakes: name one, like %s", text, len(found), strings.Join(list, ", "))
	}
	return found[0], nil
}

// Of every class some mistakes: by their whole names, their pins, the first word
// of the name, and names that are none.
func TestFindAgreesWithLookingAtEveryMistake(t *testing.T) {
	for seed := range uint64(3) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		r := rand.New(rand.NewPCG(seed, 0))
		byClass := map[string][]Site{}
		for _, s := range Sites(relay, in) {
			byClass[s.Class] = append(byClass[s.Class], s)
		}
		for class, sites := range byClass {
			s := sites[r.IntN(len(sites))]
			f := s.Named(r.IntN(s.Count))
			word, _, _ := strings.Cut(f.Where, " ")
			texts := []string{f.Where, base(f.Where), word, word + "=asks", "X1.999", ""}
			if len(f.Pins) > 0 {
				var pins []string
				for _, p := range f.Pins {
					pins = append(pins, relay.Name(p))
				}
				texts = append(texts, strings.Join(pins, ","), pins[0], relay.Board(f.Pins[0].On))
			}
			for _, text := range texts {
				want, wrong := findEvery(relay, in, class+":"+text)
				got, err := Find(relay, in, class+":"+text)
				require.Equal(t, wrong, err, text)
				require.Equal(t, want, got, text)
			}
		}
	}
}

// BenchmarkFind finds a mistake of a class with very many in a large relay.
func BenchmarkFind(b *testing.B) {
	in := gen.Instrument(1, gen.Large)
	relay := gen.Design(1, in, gen.AnyOptions(1))
	for _, text := range []string{"wrong-control:" + base(Sites(relay, in)[0].Named(0).Where), "pins-swapped:K1.3,K1.9"} {
		b.Run(strings.Split(text, ":")[0], func(b *testing.B) {
			for b.Loop() {
				Find(relay, in, text)
			}
		})
	}
}
