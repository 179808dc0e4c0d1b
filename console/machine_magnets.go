package console

import (
	"math/bits"
	"slices"
)

// Magnets is how many magnets the engine of a box has.
func (b Box) Magnets() int {
	switch b.Code {
	case Weighted:
		return bits.Len(uint(b.Stages))
	case Table:
		most := 0
		for _, row := range b.Table {
			for _, magnet := range row {
				most = max(most, magnet)
			}
		}
		return most
	}
	return b.Stages
}

// Energized reports whether a magnet, from 1, is energized at a stage, from 0.
// An engine that rests open is told how far to close.
func (b Box) Energized(stage, magnet int) bool {
	if b.Code == Table {
		return stage < len(b.Table) && slices.Contains(b.Table[stage], magnet)
	}
	if b.Rest == RestOpen {
		stage = b.Stages - stage
	}
	if b.Code == Weighted {
		return stage>>(magnet-1)&1 == 1
	}
	return magnet <= stage
}
