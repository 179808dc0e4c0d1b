package desk

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"trundle/console"
)

// Signs are the characters that say what something is. Each set tells
// everything apart without colour.
type Signs struct {
	ascii bool

	natural, sharp         string // keys that are up
	held, mute, deep       string // held; held and not heard on its own division; to the second contact
	moved, coupled         string
	drawn, off             string
	blind, dropped         string // on without being drawn; drawn without being on
	stuck                  string
	lamp, full, empty      string
	rule, rail, cut, under string
	above, below           string // more is that way; unlike a key that is moved
	here, sent             string
	sharpSign              string
}

// Letters are signs of ASCII alone.
var letters = Signs{
	ascii:   true,
	natural: "|", sharp: "'",
	held: "O", mute: "o", deep: "@",
	moved: "v", coupled: "+",
	drawn: "#", off: ".",
	blind: "+", dropped: "-", stuck: "!",
	lamp: "*", full: "#", empty: "-",
	rule: "-", rail: "|", cut: "~", under: "=",
	above: `/\`, below: `\/`, here: ">", sent: ">",
	sharpSign: "#",
}

var shapes = Signs{
	natural: "│", sharp: "▄",
	held: "●", mute: "○", deep: "◉",
	moved: "▼", coupled: "◆",
	drawn: "■", off: "·",
	blind: "+", dropped: "–", stuck: "!",
	lamp: "●", full: "█", empty: "░",
	rule: "─", rail: "│", cut: "…", under: "═",
	above: "↑", below: "↓", here: "›", sent: "→",
	sharpSign: "♯",
}

// SignsFor is the set for a terminal that shows Unicode, or for one that
// shows ASCII alone.
func SignsFor(ascii bool) *Signs {
	if ascii {
		return &letters
	}
	return &shapes
}

var fractions = map[string]string{
	"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾", "1/5": "⅕", "2/5": "⅖", "3/5": "⅗", "4/5": "⅘",
	"1/6": "⅙", "5/6": "⅚", "1/7": "⅐", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞", "1/9": "⅑",
}

// note is a note with its octave: C♯4.
func (s *Signs) note(n console.Note) string {
	text := n.String()
	if s.ascii || !strings.Contains(text, "#") {
		return text
	}
	return text[:1] + s.sharpSign + text[2:]
}

// feet is a footage as a stop knob has it: 2⅔.
func (s *Signs) feet(f console.Feet) string {
	whole, part, found := strings.Cut(f.String(), " ")
	if !found {
		whole, part = "", whole
	}
	if sign, ok := fractions[part]; ok && !s.ascii {
		return whole + sign
	}
	return f.String()
}

// text is text of a file as it may stand on the screen: nothing in it moves
// the cursor, turns the direction of writing or takes no place.
func (s *Signs) text(raw string) string {
	plain := strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r == unicode.ReplacementChar || unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Zl, unicode.Zp):
			return -1
		}
		return r
	}, raw)
	if !s.ascii {
		return plain
	}
	return toASCII(plain)
}

// name is a name of a file; one that is only an id begins with a capital.
func (s *Signs) name(id, name string) string {
	if name != id {
		return s.text(name)
	}
	return strings.ToUpper(id[:1]) + id[1:]
}

// toASCII writes text in ASCII: accents are left out, fractions are written
// out, and what has no such form is a question mark.
func toASCII(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return r >= 0x80 }) < 0 {
		return text
	}
	for written, sign := range fractions {
		text = strings.ReplaceAll(text, sign, " "+written)
	}
	var b strings.Builder
	for _, r := range norm.NFKD.String(asciiSigns.Replace(text)) {
		switch {
		case r < 0x80:
			b.WriteRune(r)
		case !unicode.Is(unicode.Mn, r):
			b.WriteByte('?')
		}
	}
	return b.String()
}

var asciiSigns = strings.NewReplacer("♯", "#", "♭", "b", "♮", "", "’", "'", "‘", "'", "′", "'", "“", `"`, "”", `"`, "″", `"`,
	"–", "-", "—", "-", "×", "x", "ß", "ss", "æ", "ae", "Æ", "AE", "ø", "o", "Ø", "O", "⁄", "/", "…", "...")

// fit is text in at most so many columns; what is cut is marked.
func (s *Signs) fit(text string, columns int) string {
	if width(text) <= columns {
		return text
	}
	if columns <= 0 {
		return ""
	}
	cut := []rune(text)
	for len(cut) > 0 && width(string(cut)) > columns-1 {
		cut = cut[:len(cut)-1]
	}
	return strings.TrimRight(string(cut), " ") + s.cut
}
