package yamldoc

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// tree turns the library's nodes into ours and refuses what it would pass.
type tree struct {
	*Source
	lines   [][]byte
	shifted []shift // in the order of the text

	line, column int    // where the last look behind a value began,
	rest         []byte // and the line from there on
}

// shift says by how much the columns of a line count too few behind one point.
type shift struct{ line, column, by int }

// at is a place in the text as it was before surrogates were joined.
func (t *tree) at(line, column int) *Node {
	i := sort.Search(len(t.shifted), func(i int) bool {
		s := t.shifted[i]
		return s.line > line || s.line == line && s.column >= column
	})
	if i > 0 && t.shifted[i-1].line == line {
		column += t.shifted[i-1].by
	}
	return &Node{Line: line, Column: column}
}

// node turns one node of the library, and all below it, into ours.
func (t *tree) node(from *yaml.Node) *Node {
	n := t.at(from.Line, from.Column)
	if from.Style&yaml.TaggedStyle != 0 || from.Tag == "!" {
		t.Wrong(n, "take the tag away, or put the value in quotes", "a tag (%s) has no meaning here", from.Tag)
	}
	if from.Anchor != "" {
		t.Wrong(n, "write the value out where it is wanted", "an anchor (&%s) has no meaning here", from.Anchor)
	}
	switch from.Kind {
	case yaml.AliasNode:
		t.Wrong(n, "write the value out", "an alias (*%s) has no meaning here", from.Value)
	case yaml.SequenceNode:
		n.Kind = List
		for _, item := range from.Content {
			if item.ShortTag() == "!!null" {
				t.Wrong(t.at(item.Line, item.Column), "give it a value, or take it out of the list", "an item has no value")
				continue
			}
			n.Items = append(n.Items, t.node(item))
		}
	case yaml.MappingNode:
		n.Kind = Map
		t.pairs(n, from.Content)
	default:
		n.Text = t.text(n, from)
	}
	return n
}

// valueFor is what to do about a name without a value. In braces a decimal comma
// makes one of the digits behind it, and a colon without a blank one of all.
func valueFor(name string) string {
	if strings.Trim(name, "0123456789") == "" {
		return "write a decimal with a point, like 440.5, and feet with a fraction, like 2 2/3"
	}
	if id, value, colon := strings.Cut(name, ":"); colon && value != "" {
		return fmt.Sprintf("put a blank behind the colon: %s: %s", id, value)
	}
	return "give it a value, or take it away"
}

// pairs fills a map from keys and values in turn.
func (t *tree) pairs(n *Node, content []*yaml.Node) {
	seen := make(map[string]*Node, len(content)/2)
	for i := 0; i+1 < len(content); i += 2 {
		key := t.node(content[i])
		switch {
		case content[i].Kind != yaml.ScalarNode:
			t.Wrong(key, "", "a name before a colon is one word, not %s", key.kind())
			t.node(content[i+1])
			continue
		case content[i].ShortTag() == "!!null":
			t.Wrong(key, fmt.Sprintf("put it in quotes: %q", key.Text), "%q means nothing at all, so it cannot be a name", key.Text)
			t.node(content[i+1])
			continue
		}
		before := seen[key.Text]
		if before != nil {
			t.Twice(key, before, key.Text)
		}
		if content[i+1].ShortTag() == "!!null" {
			t.Wrong(key, valueFor(key.Text), "%s has no value", key.Text)
			seen[key.Text] = key
			continue
		}
		value := t.node(content[i+1])
		if before == nil {
			seen[key.Text] = key
			n.Pairs = append(n.Pairs, Pair{key, value})
		}
	}
}

// text is the one line of text of a scalar.
func (t *tree) text(n *Node, from *yaml.Node) string {
	text := from.Value
	switch from.Style &^ yaml.TaggedStyle {
	case 0:
		if lost := t.comment(from); lost != "" {
			t.Wrong(n, "put the value in quotes; a comment has a blank behind its #",
				"the value is only %q: %s is taken as a comment", from.Value, lost)
		}
	case yaml.LiteralStyle, yaml.FoldedStyle:
		return strings.Join(strings.Fields(text), " ")
	}
	if strings.ContainsFunc(text, unicode.IsControl) {
		t.Wrong(n, "", "a line break or control character stands in a text of one line")
	}
	return text
}

// comment is what stands behind an unquoted value as a comment that may well
// have been meant as part of it: in C #4 a letter or digit follows the # at
// once. Ordinary comments give "".
func (t *tree) comment(from *yaml.Node) string {
	if from.Value == "" || from.Line < 1 || from.Line > len(t.lines) {
		return ""
	}
	rest, ok := bytes.CutPrefix(t.behind(from.Line, from.Column), []byte(from.Value))
	if !ok {
		return "" // it runs over several lines
	}
	return swallowed(rest)
}

// behind is the rest of a line from a column on. Nodes come in the order of
// the text, so it goes on from where it was: a file may be one long line.
func (t *tree) behind(line, column int) []byte {
	if line != t.line || column < t.column {
		t.line, t.column, t.rest = line, 1, bytes.TrimPrefix(t.lines[line-1], []byte("\ufeff"))
	}
	for ; t.column < column && len(t.rest) > 0; t.column++ {
		_, size := utf8.DecodeRune(t.rest)
		t.rest = t.rest[size:]
	}
	return t.rest
}

// swallowed is the comment that rest begins with, from its #, when a letter
// or digit follows the # at once.
func swallowed(rest []byte) string {
	trimmed := bytes.TrimLeft(rest, " \t")
	if len(trimmed) < 2 || len(trimmed) == len(rest) || trimmed[0] != '#' {
		return ""
	}
	if r, _ := utf8.DecodeRune(trimmed[1:]); unicode.IsLetter(r) || unicode.IsDigit(r) {
		return string(bytes.TrimRight(trimmed, " \t"))
	}
	return ""
}
