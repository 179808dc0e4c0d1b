package desk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// asking is a line that is being typed.
type asking struct {
	kind  askKind
	text  string
	found []Item
	at    int  // which of those the cursor stands on
	from  Item // where it stood before
}

type askKind uint8

const (
	notAsking askKind = iota
	askFind
	askPath
)

func (m *Model) ask(kind askKind, text string) {
	m.asking = asking{kind: kind, text: text, from: m.cursor}
}

// answer takes a key into the line.
func (m *Model) answer(key string) {
	switch key {
	case "Enter":
		m.answered()
	case "Esc", "Ctrl-Q":
		m.moveTo(m.asking.from)
		m.asking = asking{}
	case "Backspace":
		_, last := utf8.DecodeLastRuneInString(m.asking.text)
		m.asking.text = m.asking.text[:len(m.asking.text)-last]
		m.search()
	case "Down", "Tab":
		m.goFound(1)
	case "Up", "Shift-Tab":
		m.goFound(-1)
	case "Space":
		m.asking.text += " "
		m.search()
	default:
		if utf8.RuneCountInString(key) == 1 && len(m.asking.text) < 200 {
			m.asking.text += key
			m.search()
		}
	}
}

func (m *Model) answered() {
	a := m.asking
	m.asking = asking{}
	switch {
	case a.kind == askPath && strings.TrimSpace(a.text) != "":
		m.wants = append(m.wants, Want{Kind: WantText, Path: strings.TrimSpace(a.text), Text: m.showText()})
		m.say("writing")
	case a.kind == askFind && a.text != "" && len(a.found) == 0:
		m.complain("nothing is called %s", a.text)
	}
}

// search finds what has every word that was typed in its name or id, first
// where they stand side by side, and goes to the first.
func (m *Model) search() {
	if m.asking.kind != askFind {
		return
	}
	m.asking.found, m.asking.at = nil, 0
	words := strings.Fields(strings.ToLower(m.asking.text))
	if len(words) == 0 {
		m.moveTo(m.asking.from)
		return
	}
	for _, s := range m.layout.Spots {
		name := m.findName(s.Item)
		if name == "" || !hasAll(name, words) {
			continue
		}
		m.asking.found = append(m.asking.found, s.Item)
	}
	text := strings.Join(words, " ")
	whole := func(i Item) int { return strings.Index(m.findName(i), text) }
	slices.SortStableFunc(m.asking.found, func(a, b Item) int { return cmp.Compare(min(whole(b), 0), min(whole(a), 0)) })
	if len(m.asking.found) > 0 {
		m.moveTo(m.asking.found[0])
	} else {
		m.moveTo(m.asking.from)
	}
}

// findName is by what an item is found, in small letters; "" for what is not.
func (m *Model) findName(i Item) string {
	switch i.Kind {
	case ControlItem:
		c := m.in.Controls[i.Index]
		s, _ := m.layout.Spot(i)
		return strings.ToLower(m.signs.text(c.Name) + " " + c.ID + " " + s.Label)
	case ButtonItem:
		b := m.in.Combination.Buttons[i.Index]
		return strings.ToLower(m.signs.text(b.Name) + " " + b.ID)
	case ShoeItem:
		s := m.in.Shoes[i.Index]
		return strings.ToLower(m.signs.text(s.Name) + " " + s.ID)
	case MemoryItem, CrescendoItem, SequenceItem, TransposerItem, SpeedItem:
		return strings.ToLower(m.itemName(i))
	}
	return ""
}

func hasAll(name string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(name, w) {
			return false
		}
	}
	return true
}

func (m *Model) goFound(by int) {
	if n := len(m.asking.found); n > 0 {
		m.asking.at = (m.asking.at + by + n) % n
		m.moveTo(m.asking.found[m.asking.at])
	}
}

// askText is the line as it is typed.
func (m *Model) askText() string {
	if m.asking.kind == askPath {
		const ask = "write to: "
		return ask + m.signs.tail(m.asking.text, m.w-len(ask)-1) + "_"
	}
	text := "find: " + m.asking.text + "_"
	switch n := len(m.asking.found); {
	case m.asking.text == "":
	case n == 0:
		text += "   nothing"
	default:
		text += fmt.Sprintf("   %d of %d: %s", m.asking.at+1, n, m.itemName(m.asking.found[m.asking.at]))
	}
	return text
}
