package voices

import "slices"

// most is how many channels there are: General MIDI keeps one for drums.
const (
	most  = 15
	drums = 10
)

// voice is a pipe before it has a channel.
type voice struct {
	valve  int
	family int
	key    byte
	cents  float64 // from its key
}

// group is the pitches of a family that share a channel, in cents.
type group struct {
	family    int
	low, high float64
}

// alike is how many cents apart pitches may be for nobody to hear it.
const alike = 0.5

// share shares the channels among families: one each, then one more for
// wherever pitches that share one are furthest apart, parted at the widest gap.
func share(voices []voice) []group {
	cents := map[int][]float64{}
	for _, v := range voices {
		cents[v.family] = append(cents[v.family], v.cents)
	}
	var groups []group
	for family := range most {
		if list := cents[family]; len(list) > 0 {
			slices.Sort(list)
			groups = append(groups, group{family, list[0], list[len(list)-1]})
		}
	}
	for len(groups) > 0 && len(groups) < most {
		widest := 0
		for i, g := range groups {
			if g.width() > groups[widest].width() {
				widest = i
			}
		}
		g := groups[widest]
		if g.width() < alike {
			break
		}
		at, gap := 0, 0.0 // the first pitch behind the widest gap
		list := cents[g.family]
		for i := 1; i < len(list); i++ {
			if list[i-1] >= g.low && list[i] <= g.high && list[i]-list[i-1] > gap {
				at, gap = i, list[i]-list[i-1]
			}
		}
		groups[widest] = group{g.family, g.low, list[at-1]}
		groups = append(groups, group{g.family, list[at], g.high})
	}
	return groups
}

func (g group) width() float64 { return g.high - g.low }
