package wiring

import (
	"strconv"
	"strings"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// Waiver asks to pass over a finding, and says why.
type Waiver struct {
	Rule   string
	At     string // as written: file:line, a pin, or the words of an item
	Reason string // "" when it is missing
	Place  finding.Place

	file string // of file:line, as findings name it; "" for anything else
	line int
}

// Fits reports whether a finding is the one that the waiver means: its rule,
// and either its line or words of its message. An item is written with a blank
// or, as elsewhere, with a colon: bourdon 26, bourdon:26.
func (w Waiver) Fits(f finding.Finding) bool {
	if w.Rule != f.Rule {
		return false
	}
	if w.file != "" && w.line == f.Line && samePath(w.file, f.File) {
		return true
	}
	return hasWords(f.Message, w.At) || hasWords(f.Message, strings.ReplaceAll(w.At, ":", " "))
}

// hasWords reports whether words stand in a text whole: X3.1 is not in X3.14.
func hasWords(text, words string) bool {
	for words != "" {
		i := strings.Index(text, words)
		if i < 0 {
			return false
		}
		if !joined(text[:i], false) && !joined(text[i+len(words):], true) {
			return true
		}
		text = text[i+1:]
	}
	return false
}

// joined reports whether the last or the first letter of a text belongs to the
// word beside it.
func joined(text string, first bool) bool {
	if text == "" {
		return false
	}
	letter := text[len(text)-1]
	if first {
		letter = text[0]
	}
	return letter >= '0' && letter <= '9' || letter >= 'a' && letter <= 'z' || letter >= 'A' && letter <= 'Z' || strings.IndexByte("-.#/", letter) >= 0
}

// waivers reads the list of waivers, which may stand in a file beside.
func (rd *reader) waivers(f yamldoc.Fields) {
	list, source := f.Node("waivers"), rd.Source
	if list != nil && list.Kind == yamldoc.Scalar {
		var root *yamldoc.Node
		root, source = yamldoc.Load(rd.beside(list.Text))
		list = nil
		if root != nil && root.Kind == yamldoc.List {
			source.Wrong(root, "write format: 1 and waivers: above it, a line each", "a file of waivers begins with its list")
		} else if of := source.Fields(root, "a file of waivers", []string{"format", "waivers"}); root != nil && of.OK() && of.Format() {
			list = of.Need("waivers")
		}
		defer func() { rd.found = append(rd.found, source.Findings...) }()
	}
	if list == nil {
		return
	}
	if list.Kind != yamldoc.List {
		source.Wrong(list, "write a list of {rule: RULE, at: PLACE, reason: WHY}", "waivers are a list")
		return
	}
	for _, item := range list.Items {
		of := source.Fields(item, "a waiver", []string{"rule", "at", "reason"})
		if !of.OK() || of.Need("rule") == nil || of.Need("at") == nil {
			continue
		}
		w := Waiver{Rule: of.Text("rule"), At: of.Text("at"), Reason: strings.TrimSpace(of.Text("reason")), Place: source.Place(item)}
		if i := strings.LastIndex(w.At, ":"); i > 0 {
			if line, err := strconv.Atoi(w.At[i+1:]); err == nil && line > 0 {
				w.file, w.line = rd.beside(w.At[:i]), line
			}
		}
		rd.relay.Waivers = append(rd.relay.Waivers, w)
	}
}
