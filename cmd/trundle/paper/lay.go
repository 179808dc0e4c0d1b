package paper

import (
	"html"
	"html/template"
	"regexp"
	"slices"
	"strings"
)

// laid is a table as it stands on a page.
type laid struct {
	Caption string
	Head    []column
	Groups  []group
	Class   string // how it is printed, and set on a narrow screen
}

// column is a head and how what stands under it is set.
type column struct {
	Text   string
	Number bool // to the right
}

// group is rows with a head of their own; "" where the table has no groups.
type group struct {
	Text string
	Rows [][]cell
}

// cell is what stands in a row, and under what.
type cell struct {
	Head   string
	Text   template.HTML
	Class  string // "n" for a number, "d" a digest, "w" what is not broken, "t" a sentence
	Mark   template.HTML
	IsHead bool // the first of its row
}

var (
	number = regexp.MustCompile(`^-?(0|[1-9][0-9]{0,8})(\.[0-9]{1,6})?$`)
	hex64  = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

// Letters of what is not broken, at the head of a row or in it, and of what is
// a sentence.
const (
	word     = 24
	short    = 8
	sentence = 40
)

// lay sets a table, without those columns in which nothing stands, or only what
// the first says already.
func lay(t *Table) laid {
	l := laid{Caption: t.Caption, Class: class(t)}
	var kept []int
	for i, head := range t.Head {
		if i+1 != t.Group && says(t, i) {
			kept = append(kept, i)
			l.Head = append(l.Head, column{head, len(kept) > 1 && all(t, i, number.MatchString)})
		}
	}
	for r, row := range t.Rows {
		if name := groupOf(t, row); r == 0 || name != l.Groups[len(l.Groups)-1].Text {
			l.Groups = append(l.Groups, group{Text: name})
		}
		var cells []cell
		for at, i := range kept {
			c := cell{Head: l.Head[at].Text, Text: breakable(row[i]), IsHead: at == 0 && row[i] != ""}
			switch few := 6; {
			case l.Head[at].Number:
				c.Class = "n"
			case hex64.MatchString(row[i]):
				c.Class = "d"
			case at == 0 && len(row[i]) <= word, len(row[i]) <= short:
				c.Class = "w"
			case len(kept) <= few && len(row[i]) > sentence:
				c.Class = "t"
			}
			if i+1 == t.Colour {
				c.Mark = mark(row[i])
			}
			cells = append(cells, c)
		}
		last := &l.Groups[len(l.Groups)-1]
		last.Rows = append(last.Rows, cells)
	}
	if len(kept) >= 9 {
		l.Class = strings.TrimSpace(l.Class + " broad")
	}
	return l
}

func groupOf(t *Table, row []string) string {
	if t.Group == 0 {
		return ""
	}
	return row[t.Group-1]
}

// says reports whether a column says anything that the first does not.
func says(t *Table, column int) bool {
	something, other := false, column == 0
	for _, row := range t.Rows {
		something = something || row[column] != ""
		other = other || row[column] != row[0]
	}
	return something && other
}

// all reports whether every cell of a column in which something stands is so.
func all(t *Table, column int, so func(string) bool) bool {
	return !slices.ContainsFunc(t.Rows, func(row []string) bool { return row[column] != "" && !so(row[column]) })
}

// class says how a table is printed: a short one on one page, a long one in
// small letters, so that a board of 64 pins still fits on its own. On a narrow
// screen one with sentences has a line for each cell.
func class(t *Table) string {
	var list []string
	wordy, letters := false, 0
	for _, row := range t.Rows {
		for _, cell := range row {
			wordy, letters = wordy || len(cell) > sentence, letters+len(cell)
		}
	}
	const fewLetters = 1200 // about a quarter of a page
	switch n := len(t.Rows); {
	case n <= 12 && letters <= fewLetters:
		list = append(list, "short")
	case n > 40:
		list = append(list, "long")
	}
	if wordy {
		list = append(list, "wordy")
	}
	return strings.Join(list, " ")
}

// breakable is a text that may go on in another line behind a slash or comma,
// and in the middle of a digest.
func breakable(text string) template.HTML {
	if hex64.MatchString(text) {
		return template.HTML(text[:32] + "<wbr>" + text[32:])
	}
	var b strings.Builder
	for _, r := range text {
		b.WriteString(html.EscapeString(string(r)))
		if len(text) > 30 && (r == '/' || r == ',') {
			b.WriteString("<wbr>")
		}
	}
	return template.HTML(b.String())
}
