package circuit

import "slices"

// ohms is what a supply loses for each amp that it gives.
func (s Supply) ohms() float64 {
	if s.Amps == 0 {
		return 0
	}
	return (s.Idle - s.Full) / s.Amps
}

// takes is how many amps a supply takes of the one that feeds it for each that
// it gives: as many, when it only takes volts away; what power asks for, at the
// volts of the other under load, when it says how much of that it passes on.
func (c *Circuit) takes(supply int) float64 {
	s := c.Supplies[supply]
	if s.Efficiency == 0 {
		return 1
	}
	return s.Idle / (c.Supplies[s.From].Full * s.Efficiency)
}

// share is how many amps a supply gives for each that a load draws: one for its
// own, what the supplies that it feeds take for theirs, 0 for others.
func (c *Circuit) share(supply int, l Load) float64 {
	for _, of := range c.suppliesOf(l.Board) {
		share := 1.0
		for at := of; at != None; at = c.Supplies[at].From {
			if at == supply {
				return share
			}
			if c.Supplies[at].From != None {
				share *= c.takes(at)
			}
		}
	}
	return 0
}

// giving is the search for what a supply gives: loads of the supplies that it
// feeds count as what these take of it.
func (s *Search) giving(supply int) *Search {
	if !slices.ContainsFunc(s.c.Supplies, func(other Supply) bool { return other.From == supply }) {
		return s
	}
	giving := *s
	giving.nominal = slices.Clone(s.nominal)
	for i, l := range s.c.Loads {
		giving.nominal[i] *= s.c.share(supply, l)
	}
	return &giving
}
