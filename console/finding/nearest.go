package finding

import (
	"fmt"
	"strings"
)

// Nearest is the candidate that differs least from name, when it is near
// enough to be a slip of the pen, otherwise "". Of equals the first wins, and one
// that differs in capitals only before all others.
func Nearest(name string, candidates []string) string {
	letters := []rune(name)
	best, found := (len(letters)+1)/3+1, ""
	for _, c := range candidates {
		if strings.EqualFold(name, c) {
			return c
		}
		other := []rune(c)
		if longer := len(other) - len(letters); max(longer, -longer) >= best {
			continue // so many letters differ at least
		}
		if d := distance(letters, other); d < best {
			best, found = d, c
		}
	}
	return found
}

// DidYouMean is a fix that names the nearest candidate, or "" without one.
func DidYouMean(name string, candidates []string) string {
	if near := Nearest(name, candidates); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return ""
}

// OneSlip reports whether a name differs from another by capitals, or by one letter
// that is wrong, missing, too many or exchanged with its neighbour.
func OneSlip(name, other string) bool {
	return other != "" && (strings.EqualFold(name, other) || distance([]rune(name), []rune(other)) == 1)
}

// distance counts the insertions, deletions, replacements and exchanges of
// neighbours that turn a into b (optimal string alignment).
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
