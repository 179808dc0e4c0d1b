package walk

import (
	"fmt"
	"slices"
	"strings"
)

// sounding are words of a sentence that may mean that all is well.
var sounding = []string{"good", "ok", "okay", "yes", "fine", "right", "well", "works", "speaks", "perfect", "clean"}

// linking are words that say nothing of what they stand between.
var linking = []string{"is", "are", "the", "it", "a", "an", "and", "now", "all", "in", "of", "at", "to", "for", "with"}

// doubt asks about a line that may mean something else than it would be taken for: to
// keep as good what is not, or the other way, is worse than to ask.
func doubt(s Step, a Answer, line string) error {
	words := strings.FieldsFunc(strings.ToLower(a.Words), func(r rune) bool { return strings.ContainsRune(" ,;:.!", r) })
	line = strings.TrimSpace(line)
	if s.ID == signID || len(words) == 0 {
		return nil
	}
	has := func(list ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	switch {
	case a.Verdict.IsGood() && has("dead", "wrong", "faint", "ciphers", "open", "bridged", "weak"):
		return fmt.Errorf("%q: is it good or not? write one of the two", line)
	case a.Verdict.IsGood() && slices.Contains([]string{"but", "except", "though", "although"}, words[0]) && len(words) > 1:
		rest := strings.Join(words[1:], " ")
		return fmt.Errorf("%q: is it good? write %s %s if it is, other %s if not", line, a.Verdict, rest, rest)
	case a.Verdict == Dead && has("problem", "problems", "fault", "faults", "trouble", "issue", "issues"):
		return fmt.Errorf("%q: is it dead? write good, or dead and why", line)
	case a.Verdict != "" || len(words) < 2:
		return nil
	case has(sounding...):
		return fmt.Errorf("%q: is it good? write good if it is, other %s if not", line, a.Words)
	case asks(s, words):
		return fmt.Errorf("%q is what is asked for before; write what came of it: good, or what is wrong", line)
	}
	return nil
}

// asks reports whether words only repeat what a step and its phase ask for.
func asks(s Step, words []string) bool {
	asked := strings.FieldsFunc(strings.ToLower(s.Phase.About()+" "+s.Phase.Caution()+" "+s.First), func(r rune) bool { return strings.ContainsRune(" ,;:.'", r) })
	words = slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(linking, w) })
	return len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(asked, w) })
}
