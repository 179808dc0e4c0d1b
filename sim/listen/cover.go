package listen

import "slices"

// cover chooses few numbers so that each set has one of them: first those that
// are alone in a set, then whichever is in most sets that have none for what it
// costs, and at last takes out what the others make up for. A number of a group that
// is not begun, nor by one that is chosen, costs as much as begin others. The greedy
// choice is within a factor of 1 + ln(n) of the cheapest (Chvatal 1979; from memory),
// where costs do not change.
func cover(sets [][]int32, group []int32, begin int, begun []bool) []int32 {
	count := len(group)
	sets = distinct(sets)
	by := make([][]int32, count) // by number: the sets that have it
	for i, s := range sets {
		for _, n := range s {
			by[n] = append(by[n], int32(i))
		}
	}
	hits := make([]int, len(sets))
	left := make([]int, count) // by number: sets without one yet
	for n := range by {
		left[n] = len(by[n])
	}
	var chosen []int32
	choose := func(n int32) {
		chosen, begun[group[n]] = append(chosen, n), true
		for _, s := range by[n] {
			if hits[s]++; hits[s] == 1 {
				for _, other := range sets[s] {
					left[other]--
				}
			}
		}
	}
	for i, s := range sets {
		if len(s) == 1 && hits[i] == 0 {
			choose(s[0])
		}
	}
	for {
		best, most := 0, 0
		for n := range left {
			worth := left[n] * begin
			if !begun[group[n]] {
				worth = left[n]
			}
			if worth > most {
				best, most = n, worth
			}
		}
		if most == 0 {
			break
		}
		choose(int32(best))
	}
	for i := len(chosen) - 1; i >= 0; i-- {
		n := chosen[i]
		if !slices.ContainsFunc(by[n], func(s int32) bool { return hits[s] == 1 }) {
			for _, s := range by[n] {
				hits[s]--
			}
			chosen = slices.Delete(chosen, i, i+1)
		}
	}
	return chosen
}

// distinct are the sets that differ.
func distinct(sets [][]int32) [][]int32 {
	seen := map[string]bool{}
	var list [][]int32
	var key []byte
	for _, s := range sets {
		slices.Sort(s)
		key = key[:0]
		for _, n := range s {
			key = append(key, byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
		}
		if !seen[string(key)] {
			seen[string(key)] = true
			list = append(list, s)
		}
	}
	return list
}
