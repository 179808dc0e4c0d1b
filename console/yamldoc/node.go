// Package yamldoc reads one YAML document, or a JSON file of the same shape,
// into a tree of nodes that know where they stand. Whatever YAML would lose or
// change without a word (a tag, a second document, a number in octal, text
// behind a #) is a finding instead. It knows nothing of what the document says.
package yamldoc

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"trundle/console/finding"
)

// Kind is what a node is.
type Kind int

const (
	Scalar Kind = iota
	List
	Map
)

// Node is a value of the document. Line and Column are where it begins, from
// 1, columns in characters. A Scalar keeps its text: 012 stays 012.
type Node struct {
	Kind         Kind
	Text         string  // of a Scalar, one line
	Items        []*Node // of a List
	Pairs        []Pair  // of a Map, in the order of the file, no key twice
	Line, Column int
}

// Pair is an entry of a map.
type Pair struct{ Key, Value *Node }

// Get is the value that a map has for a key, nil when it has none.
func (n *Node) Get(key string) *Node {
	for _, p := range n.Pairs {
		if p.Key.Text == key {
			return p.Value
		}
	}
	return nil
}

// Source is a file being read, and all that is wrong in it so far.
type Source struct {
	File     string // as findings name it
	Findings []finding.Finding
}

// Place is where a node stands; the whole file for a nil node.
func (s *Source) Place(n *Node) finding.Place {
	if n == nil {
		return finding.Place{File: s.File}
	}
	return finding.Place{File: s.File, Line: n.Line, Column: n.Column}
}

// Wrong notes that the node has no meaning, and what to do about it.
func (s *Source) Wrong(n *Node, fix, format string, args ...any) {
	s.add(finding.NoMeaning, n, fix, format, args...)
}

// mostNearest is among how many findings an unknown name comes with the nearest
// one: to look for it in a large file takes long, and who has so many to put
// right needs no more of them.
const mostNearest = 100

// Unknown notes that nothing of a kind ("rank") carries the name at the node.
func (s *Source) Unknown(n *Node, kind, name string, candidates []string) {
	fix := ""
	if len(s.Findings) < mostNearest {
		fix = finding.DidYouMean(name, candidates)
	}
	s.add(finding.UnknownID, n, fix, "no %s %s", kind, name)
}

// Twice notes that the name at the node was given before, at another node.
func (s *Source) Twice(n, before *Node, name string) {
	s.add(finding.DuplicateID, n, "take the second away or give it another name", "%s stands here a second time", name)
	f := &s.Findings[len(s.Findings)-1]
	f.Related = []finding.Related{{Place: s.Place(before), Message: "the first"}}
}

func (s *Source) add(rule string, n *Node, fix, format string, args ...any) {
	s.Findings = append(s.Findings, finding.Finding{
		Rule: rule, Severity: finding.Error, Place: s.Place(n), Message: printable(fmt.Sprintf(format, args...)), Fix: printable(fix),
	})
}

// printable makes one line of a text that may quote the file.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// Forms of ids.
var (
	PlainID   = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,63}$`)
	CapitalID = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9-]{0,63}$`) // boards, strips, cables
)

// AsID is a name as an id of a form may write it, "" where that takes more than
// hyphens and small letters.
func AsID(name string, form *regexp.Regexp) string {
	id := strings.Trim(strings.NewReplacer("_", "-", " ", "-", ".", "-", "/", "-").Replace(name), "-")
	if form == PlainID {
		id = strings.ToLower(id)
	}
	if !form.MatchString(id) {
		return ""
	}
	return id
}

// ByID are the entries of a map whose keys are ids; a key of another form is
// noted and kept.
func (s *Source) ByID(n *Node, form *regexp.Regexp) []Pair {
	pairs := s.Map(n)
	for _, p := range pairs {
		if !form.MatchString(p.Key.Text) {
			letters := "small letters"
			if form == CapitalID {
				letters = "letters"
			}
			fix := AsID(p.Key.Text, form)
			if fix != "" {
				fix = "write it " + fix
			}
			s.Wrong(p.Key, fix, "%q is no id: up to 64 %s, digits and hyphens, no hyphen first", p.Key.Text, letters)
		}
	}
	return pairs
}

// Map are the entries of a map, nil (and a finding) when n is something else.
func (s *Source) Map(n *Node) []Pair {
	if n != nil && n.Kind != Map {
		s.noMap(n, "")
		return nil
	}
	if n == nil {
		return nil
	}
	return n.Pairs
}

func (s *Source) noMap(n *Node, fix string) {
	s.Wrong(n, fix, "%s stands where a map of `name: value` entries is meant", n.kind())
}

// Text is the text of a scalar, "" (and a finding) when n is something else.
func (s *Source) Text(n *Node) string {
	if n != nil && n.Kind != Scalar {
		s.Wrong(n, "", "%s stands where one value is meant", n.kind())
	}
	if n == nil {
		return ""
	}
	return n.Text
}

// Texts are the scalars of a list; a single scalar counts as a list of one.
func (s *Source) Texts(n *Node) []*Node {
	switch {
	case n == nil:
		return nil
	case n.Kind == Scalar:
		return []*Node{n}
	case n.Kind == Map:
		s.Wrong(n, "write it like [a, b]", "a map stands where a list is meant")
		return nil
	}
	var texts []*Node
	for _, item := range n.Items {
		if item.Kind != Scalar {
			s.Wrong(item, "", "%s stands where one value is meant", item.kind())
			continue
		}
		texts = append(texts, item)
	}
	return texts
}

func (n *Node) kind() string {
	return [...]string{"a value", "a list", "a map"}[n.Kind]
}
