package walk

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// What steps expect, where it is often answered in words of its own.
const (
	through  = "through, and to no other wire"
	oneClick = "one click"
	silence  = "nothing speaks"
)

// meant are words for what is expected, besides those that ask for it.
var meant = map[string][]string{
	through:  {"through", "beep", "beeps", "beeped"},
	oneClick: {"click", "clicks", "clicked", "clicks once", "one click heard"},
}

// Words about a step at which nothing should speak.
var (
	calm   = []string{"silent", "silence", "quiet", "dead"}
	nobody = []string{"nothing", "none", "no"}
	noises = []string{"speaks", "speak", "sounds", "sound", "murmurs", "murmur", "runs", "run", "ciphers", "cipher", "noise", "heard",
		"buzz", "buzzes", "hum", "hums"}
)

// heard are words for what is heard or felt, and what they are at a magnet with the wind
// off, and at a pipe. A magnet that buzzes does not hold. Common practice, no source.
var heard = []struct {
	words        []string
	magnet, pipe Verdict
}{
	{[]string{"cipher", "ciphers", "ciphering", "ciphered", "stick", "sticks", "sticking", "stuck", "hangs"}, Sounds, Sounds},
	{[]string{"buzz", "buzzes", "buzzing", "hum", "hums", "humming", "chatter", "chatters", "chattering"}, Weak, Wrong},
	{[]string{"weak", "weakly"}, Weak, Faint},
	{[]string{"soft", "softly", "faint", "faintly"}, Faint, Faint},
	{[]string{"slow", "slowly", "sluggish", "late", "quick"}, Wrong, Wrong},
}

// denials turn what is heard into what is not.
var denials = []string{"no", "not", "never", "nothing", "without", "doesn't", "don't", "isn't"}

// hears is the verdict of what words say is heard: "" where they say nothing of it, or
// two things. denied tells that they may say the opposite.
func (s Step) hears(words []string) (v Verdict, denied bool) {
	if s.Phase < Valves {
		return "", false // nothing is on yet
	}
	for _, h := range heard {
		if !hasAny(words, h.words) {
			continue
		}
		is := h.pipe
		if s.Phase < Ciphers {
			is = h.magnet
		}
		if v != "" && v != is {
			return "", false
		}
		v = is
	}
	return v, v != "" && hasAny(words, denials)
}

// content are the words of a text that say something.
func content(text string) []string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" ,;:.!", r) })
	return slices.DeleteFunc(words, func(w string) bool { return slices.Contains(linking, w) })
}

func hasAny(words []string, lists ...[]string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(slices.Concat(lists...), w) })
}

// mean gives an answer the verdict that its words have at the step: what is expected is
// good, and where that is silence, what speaks is not. free tells that they stand for
// themselves, behind no verdict. It asks what may mean either.
func (s Step) mean(a Answer, line string, free bool) (Answer, error) {
	if s.silent() {
		return s.meanSilence(a, line)
	}
	words, expected := content(a.Words), content(s.Expect)
	if len(words) == 0 || s.ID == signID {
		return a, nil
	}
	line = strings.TrimSpace(line)
	ask := fmt.Errorf("%s: is that %s? write good %s if it is, or other %s", line, s.Expect, line, line)
	switch said := strings.Join(words, " "); {
	case free && (said == strings.Join(expected, " ") || slices.Contains(meant[s.Expect], said)):
		a.Verdict = Good
	case free && slices.ContainsFunc(words, isOhms):
		return a, ask
	case free && !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(expected, w) }):
		return a, ask
	case a.Verdict.IsGood() && s.denies(words):
		return a, fmt.Errorf("%q: is it good or not? write one of the two", line)
	case free:
		v, denied := s.hears(words)
		if denied {
			return a, fmt.Errorf("%q: is it good or not? write good, %s, or what is wrong", line, v)
		}
		if v != "" {
			a.Verdict = v
		}
	}
	return a, nil
}

// isOhms reports ohms: 0.4ohm, or their unit alone.
func isOhms(word string) bool {
	unit := strings.TrimLeftFunc(word, func(r rune) bool { return unicode.IsDigit(r) })
	return slices.Contains([]string{"ohm", "ohms", "ω", "kohm", "kohms", "kω"}, unit)
}

// denies reports whether words say that something of what is expected is not so.
func (s Step) denies(words []string) bool {
	expected := " " + strings.Join(content(s.Expect), " ") + " "
	asked := content(s.Expect + " " + strings.Join(meant[s.Expect], " "))
	for i, w := range words[1:] {
		if !slices.Contains([]string{"no", "not", "nothing", "never", "without", "doesn't"}, words[i]) || strings.Contains(expected, " "+words[i]+" "+w+" ") {
			continue
		}
		if slices.ContainsFunc(asked, func(e string) bool { return strings.TrimSuffix(e, "s") == strings.TrimSuffix(w, "s") }) {
			return true
		}
	}
	return false
}

// silent reports a step at which nothing should speak.
func (s Step) silent() bool { return strings.HasPrefix(s.Expect, silence) }

// isQuiet reports words that say only that nothing speaks.
func isQuiet(words []string) bool {
	for i, w := range words {
		denied := i > 0 && slices.Contains(nobody, words[i-1])
		switch {
		case denied && slices.Contains(noises, w), !denied && slices.Contains(calm, w):
		case slices.Contains(nobody, w) && (w != "no" || i < len(words)-1):
		default:
			return false
		}
	}
	return len(words) > 0
}

// meanSilence is mean where nothing should speak.
func (s Step) meanSilence(a Answer, line string) (Answer, error) {
	line = strings.TrimSpace(line)
	words, behind := content(line), content(a.Words)
	noisy, calmly := hasAny(words, noises), hasAny(words, calm, nobody, []string{"not", "n", "d", "never"})
	ask := fmt.Errorf("%q: does something speak? write silent if nothing does, or other and what does", line)
	switch a.Verdict {
	case "", Dead:
		switch {
		case isQuiet(words), slices.Equal(words, content(s.Expect)):
			a.Verdict, a.Words = Good, ""
		case calmly:
			return a, ask
		case noisy && hasAny(words, heard[0].words):
			a.Verdict, a.Words = Sounds, line
		case noisy:
			a.Verdict, a.Words = Other, line
		}
	case Good:
		if len(behind) > 0 && hasAny(behind, noises) && !isQuiet(behind) {
			return a, ask
		}
	case Speaks, Sounds:
		if calmly || strings.EqualFold(line, "s") { // which may stand for silent
			return a, ask
		}
		a.Verdict = Sounds
	}
	return a, nil
}
