package yamldoc

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"trundle/console/finding"
)

// Fields takes the fields of one map by name. Everything that is wrong with
// them is noted in the source; what cannot be read has its default.
type Fields struct {
	from *Source
	node *Node  // nil when there is no map to take from
	what string // for messages: "stop"

	meant []string // fields that an unknown one is near to
}

// Fields opens a map that may have the known fields and no others. Unknown
// ones are noted with the nearest known name, which then is not missing besides; one
// that is a letter off is read as if it had that.
func (s *Source) Fields(n *Node, what string, known []string) Fields {
	if n != nil && n.Kind != Map {
		s.noMap(n, "write its fields as name: value; it has "+strings.Join(known, ", "))
		n = nil
	}
	if n == nil {
		return Fields{from: s, what: what}
	}
	read, meant := n, []string(nil)
	for i, p := range n.Pairs {
		if slices.Contains(known, p.Key.Text) {
			continue
		}
		near, fix := finding.Nearest(p.Key.Text, known), "it has "+strings.Join(known, ", ")
		if near != "" {
			fix, meant = "did you mean "+near+"?", append(meant, near)
		}
		s.Wrong(p.Key, fix, "%s has no field %s", what, p.Key.Text)
		if finding.OneSlip(p.Key.Text, near) && read.Get(near) == nil {
			read = read.renamed(i, near)
		}
	}
	return Fields{s, read, what, meant}
}

// renamed is a map in which one of the keys has another name.
func (n *Node) renamed(i int, name string) *Node {
	other, key := *n, *n.Pairs[i].Key
	key.Text = name
	other.Pairs = slices.Clone(n.Pairs)
	other.Pairs[i].Key = &key
	return &other
}

// OK reports whether there is a map to take fields from.
func (f Fields) OK() bool { return f.node != nil }

// Node is the value of a field, nil when it is not given.
func (f Fields) Node(name string) *Node {
	if f.node == nil {
		return nil
	}
	return f.node.Get(name)
}

// Need is the value of a field that must be given.
func (f Fields) Need(name string) *Node {
	n := f.Node(name)
	if n == nil && f.node != nil && !slices.Contains(f.meant, name) {
		f.from.Wrong(f.node, "", "%s lacks the field %s", f.what, name)
	}
	return n
}

// Text is the text of a field, "" when it is not given.
func (f Fields) Text(name string) string { return f.from.Text(f.Node(name)) }

// Texts are the items of a field that is a list, or one value.
func (f Fields) Texts(name string) []*Node { return f.from.Texts(f.Node(name)) }

// Map are the entries of a field that is a map.
func (f Fields) Map(name string) []Pair { return f.from.Map(f.Node(name)) }

// ByID are the entries of a field that is a map by id.
func (f Fields) ByID(name string, form *regexp.Regexp) []Pair {
	return f.from.ByID(f.Node(name), form)
}

// Int is a whole number from low to high, in decimal whatever zeros it begins
// with; otherwise when it is not given or wrong.
func (f Fields) Int(name string, low, high, otherwise int) int {
	n := f.Node(name)
	if n == nil {
		return otherwise
	}
	v, err := strconv.Atoi(n.Text)
	if n.Kind != Scalar || err != nil || v < low || v > high {
		f.from.Wrong(n, "", "%s is a whole number from %d to %d%s", name, low, high, n.not())
		return otherwise
	}
	return v
}

var decimal = regexp.MustCompile(`^[-+]?(\d+\.?\d*|\.\d+)$`)

// Number is a decimal number from low to high; otherwise when it is not given
// or wrong.
func (f Fields) Number(name string, low, high, otherwise float64) float64 {
	n := f.Node(name)
	if n == nil {
		return otherwise
	}
	return f.from.Number(n, name, low, high, otherwise)
}

// Number reads a decimal number from low to high at a node; name is what it
// is called in messages.
func (s *Source) Number(n *Node, name string, low, high, otherwise float64) float64 {
	v, err := strconv.ParseFloat(n.Text, 64)
	if n.Kind != Scalar || !decimal.MatchString(n.Text) || err != nil || v < low || v > high {
		s.Wrong(n, "", "%s is a number from %g to %g%s", name, low, high, n.not())
		return otherwise
	}
	return v
}

// Bool is true or false; false when it is not given.
func (f Fields) Bool(name string) bool {
	return f.Choice(name, "false", "true", "false") == "true"
}

// Choice is one of a few words; otherwise when it is not given or wrong.
func (f Fields) Choice(name, otherwise string, words ...string) string {
	n := f.Node(name)
	if n == nil {
		return otherwise
	}
	if n.Kind != Scalar || !slices.Contains(words, n.Text) {
		f.from.Wrong(n, finding.DidYouMean(n.Text, words), "%s is one of %s%s", name, strings.Join(words, ", "), n.not())
		return otherwise
	}
	return n.Text
}

// not says what stands where something else was meant.
func (n *Node) not() string {
	if n.Kind != Scalar {
		return ", not " + n.kind()
	}
	return ", not " + strconv.Quote(n.Text)
}

// Format reads the field `format`, which must be 1. It reports whether the
// rest of the document can be read by this program.
func (f Fields) Format() bool {
	n := f.Need("format")
	if n == nil || n.Kind == Scalar && strings.TrimLeft(n.Text, "0") == "1" {
		return f.node != nil
	}
	f.from.add(finding.OtherFormat, n, "", "this program reads format 1%s", n.not())
	return false
}
