package wiring

import (
	"strconv"
	"strings"

	"trundle/console"
)

// FormatNotes writes notes as few ranges: C2..B2 C4..C7, C2..A#6/2.
func FormatNotes(notes []console.Note) string { return formatRuns(notes, console.Note.String) }

// FormatNumbers writes numbers as few ranges: 1..61, 61..1, 1..25 27..62.
func FormatNumbers(numbers []int) string { return formatRuns(numbers, strconv.Itoa) }

// formatRuns keeps the order of the list. Two neighbours make a range, other
// steps need three members.
func formatRuns[N int | console.Note](list []N, name func(N) string) string {
	var words []string
	for len(list) > 0 {
		n := runLength(list)
		word := name(list[0])
		if n > 1 {
			word += ".." + name(list[n-1])
			if step := max(list[1]-list[0], list[0]-list[1]); step > 1 {
				word += "/" + strconv.Itoa(int(step))
			}
		}
		words = append(words, word)
		list = list[n:]
	}
	return strings.Join(words, " ")
}

// runLength is how many members of the list from its first are one range.
func runLength[N int | console.Note](list []N) int {
	if len(list) < 2 || list[0] == list[1] {
		return 1
	}
	step, n := list[1]-list[0], 2
	for n < len(list) && list[n]-list[n-1] == step {
		n++
	}
	if n == 2 && step != 1 && step != -1 {
		return 1
	}
	return n
}
