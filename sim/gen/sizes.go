package gen

import "math"

// Between is a count that is chosen evenly from Low to High, both included.
type Between struct{ Low, High int }

func exactly(n int) Between { return Between{n, n} }

// Size says how large a generated instrument is.
type Size struct {
	Manuals    Between
	Divisions  Between
	Ranks      Between
	Stops      Between
	Couplers   Between // without unison offs
	CarriesAll Between // of the couplers, as far as the keyboards allow
	UnisonOffs Between
	ManualKeys []int // numbers of keys a manual may have
	PedalKeys  []int
	Octave     int // semitones by which couplers shift, chests exceed their keyboards and ranks are extended
	Buttons    int // generals, and about as many divisionals
	Stages     int // of the crescendo at most
	Cycle      Cycle
}

// Cycle says whether couplers that carry all hold each other on.
type Cycle string

const (
	CycleInAQuarter Cycle = "" // in every fourth seed
	CycleAlways     Cycle = "always"
	CycleNever      Cycle = "never"
)

// Tiny is small enough to try every state: one or two manuals and a pedal of
// a few keys, whose octave has two notes.
var Tiny = Size{
	Manuals: Between{1, 2}, Divisions: Between{2, 4}, Ranks: Between{1, 4}, Stops: Between{2, 6},
	Couplers: Between{2, 5}, CarriesAll: Between{0, 2}, UnisonOffs: Between{0, 2},
	ManualKeys: []int{3, 4, 5, 6, 7, 8}, PedalKeys: []int{3, 4, 5}, Octave: 2, Buttons: 2, Stages: 3,
}

// Small is an ordinary organ of two manuals and pedal.
var Small = Size{
	Manuals: exactly(2), Divisions: Between{3, 4}, Ranks: Between{10, 13}, Stops: Between{14, 17},
	Couplers: Between{8, 12}, CarriesAll: Between{0, 2}, UnisonOffs: Between{1, 3},
	ManualKeys: []int{49, 54, 56, 58, 61}, PedalKeys: []int{27, 30, 32}, Octave: 12, Buttons: 6, Stages: 20,
}

// Large is a very large organ: five manuals and pedal, about 17,000 valves.
var Large = Size{
	Manuals: exactly(5), Divisions: exactly(12), Ranks: exactly(240), Stops: exactly(250),
	Couplers: exactly(60), CarriesAll: exactly(12), UnisonOffs: exactly(8),
	ManualKeys: []int{61}, PedalKeys: []int{32}, Octave: 12, Buttons: 20, Stages: 60,
}

// Scaled is Large with its divisions, ranks, stops and couplers times factor;
// the keyboards stay.
func Scaled(factor float64) Size {
	times := func(b Between) Between {
		return exactly(max(1, int(math.Round(float64(b.Low)*factor))))
	}
	s := Large
	s.Divisions, s.Ranks, s.Stops = times(s.Divisions), times(s.Ranks), times(s.Stops)
	s.Couplers, s.CarriesAll, s.UnisonOffs = times(s.Couplers), times(s.CarriesAll), times(s.UnisonOffs)
	return s
}

// WithCycle is s with a cycle of couplers that carry all in every seed.
func (s Size) WithCycle() Size {
	s.Cycle = CycleAlways
	s.Couplers = Between{max(2, s.Couplers.Low), max(2, s.Couplers.High)}
	s.CarriesAll = Between{max(2, s.CarriesAll.Low), max(2, s.CarriesAll.High)}
	return s
}

// WithoutCycle is s without such a cycle in any seed.
func (s Size) WithoutCycle() Size {
	s.Cycle = CycleNever
	return s
}
