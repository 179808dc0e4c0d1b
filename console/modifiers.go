package console

import "trundle/console/finding"

// What follows acts in the console machine only: it depends on what was done
// before, or moves no pipe, and the proof says nothing about it.

// Sostenuto keeps down, while it is on, the keys that were held when it came on.
type Sostenuto struct {
	ID, Name  string
	Keyboards []int
	Control   int
	At        finding.Place
}

// Gathering puts every box on one shoe while it is on: all swells to swell.
type Gathering struct {
	ID, Name string
	Shoe     int
	Control  int
	At       finding.Place
}

// Follow lets a division's pistons press those of another of the same number
// while it is on: great and pedal combinations coupled.
type Follow struct {
	ID, Name string
	Division int
	With     int // the division that follows
	Control  int
	At       finding.Place
}

// BoxCode is how the magnets of a box's engine say a stage.
type BoxCode string

const (
	Thermometer BoxCode = "thermometer" // a magnet a stage: stage 3 is magnets 1, 2 and 3
	Weighted    BoxCode = "weighted"    // magnets count 1, 2, 4 and so on
	Table       BoxCode = "table"       // as the file lists them
)

// BoxRest is how the shades stand when no magnet is energized.
type BoxRest string

const (
	RestClosed BoxRest = "closed"
	RestOpen   BoxRest = "open"
)
