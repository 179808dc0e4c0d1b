package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/listen"
	"trundle/sim/wiring"
)

// symptomsAnswer is what accounts for what was heard; in JSON it is schema
// trundle.symptoms/1.
type symptomsAnswer struct {
	Schema   string          `json:"schema"`
	Heard    []heardAnswer   `json:"heard"`
	Whole    bool            `json:"whole"`    // each of the causes accounts for all that was heard
	Mistakes int             `json:"mistakes"` // how many there are; the likeliest stand in causes
	Causes   []heardCause    `json:"causes"`
	Pairs    [][]string      `json:"pairs"` // two at a time that account for all, where none does alone; the likeliest
	Next     *questionAnswer `json:"next"`  // null when no key tells the causes apart
	unnamed  string          // of a cipher, what is said without a key
}

type heardAnswer struct {
	Text    string `json:"text"`
	Meaning string `json:"meaning"`
	Verdict string `json:"verdict"`
}

type heardCause struct {
	Class    string   `json:"class"`
	Where    string   `json:"where"`
	Pins     []string `json:"pins"`
	Leg      string   `json:"leg"`
	Mend     string   `json:"mend"`
	Likely   float64  `json:"likely"`   // part of the weight of all causes
	Explains []int    `json:"explains"` // which of heard, from 1
}

type questionAnswer struct {
	Play    []string        `json:"play"`
	Draw    []string        `json:"draw"`
	Turn    []string        `json:"turn"` // to draw or push in, from what is drawn
	Loud    bool            `json:"loud"`
	Bits    float64         `json:"bits"`
	Answers []meaningAnswer `json:"answers"`
}

type meaningAnswer struct {
	Answer    string   `json:"answer"`
	Likely    float64  `json:"likely"`
	Mistakes  int      `json:"mistakes"` // that remain
	Likeliest []string `json:"likeliest"`
}

// What is listed at most: causes, answers to a question, causes of an answer.
const (
	mostCauses  = 12
	mostAnswers = 8
	mostOfEach  = 2
	mostOfSort  = 4 // causes that account for the same part
)

func answerSymptoms(in *console.Instrument, relay *wiring.Relay, l *listen.Listener, q *listen.Inquiry) symptomsAnswer {
	a := symptomsAnswer{Schema: "trundle.symptoms/1", Heard: []heardAnswer{}, Whole: q.Whole, Causes: []heardCause{}, Pairs: [][]string{}}
	for _, s := range q.Symptoms {
		a.Heard = append(a.Heard, heardAnswer{s.Text, s.Meaning, s.Heard.String()})
	}
	total, named := 0.0, causesByName(q)
	for _, c := range named {
		total += c.Weight
	}
	a.Mistakes = len(named)
	sorts := map[string]int{} // causes that account for the same
	for _, c := range named {
		sort := fmt.Sprint(c.Explains)
		if len(a.Causes) == mostCauses || !q.Whole && sorts[sort] == mostOfSort {
			continue
		}
		sorts[sort]++
		cause := heardCause{c.Fault.Class, c.Fault.Where, pinNames(relay, c.Fault.Pins), l.Leg(c), listen.Mend(c.Fault), portion(c.Weight / total), []int{}}
		for i, explains := range c.Explains {
			if explains {
				cause.Explains = append(cause.Explains, i+1)
			}
		}
		a.Causes = append(a.Causes, cause)
	}
	for _, pair := range q.Pairs() {
		names := []string{causeName(q.Causes[pair[0]]), causeName(q.Causes[pair[1]])}
		if !slices.ContainsFunc(a.Pairs, func(known []string) bool { return slices.Equal(known, names) }) {
			a.Pairs = append(a.Pairs, names)
		}
	}
	if s, is := q.Unnamed(); is {
		a.unnamed = s.Text
	}
	if next, is := q.Next(); is {
		a.Next = answerQuestion(in, q, next, total)
	}
	return a
}

func causeName(c listen.Cause) string { return c.Fault.Class + ": " + c.Fault.Where }

// causesByName are causes, each name once with the weight of all that have it: those
// that account for most first, of these the likeliest, of these the one that moves fewest
// pins, else in the order in which mistakes are made.
func causesByName(q *listen.Inquiry) []listen.Cause {
	at := map[string]int{}
	var list []listen.Cause
	for _, c := range q.Causes {
		name := causeName(c)
		if i, known := at[name]; known {
			list[i].Weight += c.Weight
			continue
		}
		at[name] = len(list)
		list = append(list, c)
	}
	explained := func(c listen.Cause) (n int) {
		for _, e := range c.Explains {
			if e {
				n++
			}
		}
		return n
	}
	slices.SortStableFunc(list, func(a, b listen.Cause) int {
		return cmp.Or(cmp.Compare(explained(b), explained(a)), cmp.Compare(b.Weight, a.Weight),
			cmp.Compare(len(a.Fault.Pins), len(b.Fault.Pins)))
	})
	return list
}

// namesOf are the causes at some places by name, each once, the likeliest first; of
// nil, all.
func namesOf(q *listen.Inquiry, places []int) (names []string) {
	some := *q
	if places != nil {
		some.Causes = nil
		for _, i := range places {
			some.Causes = append(some.Causes, q.Causes[i])
		}
	}
	for _, c := range causesByName(&some) {
		names = append(names, causeName(c))
	}
	return names
}

func answerQuestion(in *console.Instrument, q *listen.Inquiry, next listen.Question, total float64) *questionAnswer {
	a := &questionAnswer{Play: playOf(in, next.Held), Draw: controlIDs(in, next.Draw), Turn: controlIDs(in, next.Turn),
		Loud: next.Loud, Bits: math.Round(next.Bits*100) / 100, Answers: []meaningAnswer{}}
	for _, m := range next.Answers {
		names := namesOf(q, m.Causes)
		a.Answers = append(a.Answers, meaningAnswer{next.Words(m.Heard), portion(m.Weight / total), len(names), names[:min(mostOfEach, len(names))]})
	}
	return a
}

func controlIDs(in *console.Instrument, controls []int) []string {
	ids := []string{}
	for _, c := range controls {
		ids = append(ids, in.Controls[c].ID)
	}
	return ids
}

func (a symptomsAnswer) writeText(w io.Writer) error {
	b := &strings.Builder{}
	for _, h := range a.Heard {
		fmt.Fprintf(b, "heard: %s\n", h.Meaning)
	}
	good := func(h heardAnswer) bool { return h.Verdict == string(listen.Speaks) }
	bad := func(h heardAnswer) bool { return !good(h) }
	switch {
	case len(a.Causes) == 0 && !slices.ContainsFunc(a.Heard, bad):
		fmt.Fprintln(b, "nothing is wrong in what was heard: say what is")
	case len(a.Causes) == 0:
		but := ""
		if slices.ContainsFunc(a.Heard, good) {
			but = ", and leaves what was good"
		}
		fmt.Fprintf(b, "no single mistake accounts for any of it%s\n", but)
		fmt.Fprintln(b, "next: play it with one stop alone, and the keys beside it; say what each sounds, or only wrong")
	case !a.Whole:
		fmt.Fprintln(b, "no single mistake accounts for all of it; these account for some")
	case a.Mistakes == 1:
		fmt.Fprintln(b, "one mistake accounts for it")
	default:
		fmt.Fprintf(b, "%d mistakes account for it, each alone; the likeliest first\n", a.Mistakes)
	}
	for _, c := range a.Causes {
		likely := fmt.Sprintf("%3.0f%%", 100*c.Likely)
		if c.Likely < 0.005 {
			likely = " <1%"
		}
		if !a.Whole {
			likely = "    "
		}
		fmt.Fprintf(b, "  %s  %s: %s%s\n", likely, c.Class, c.Where, a.some(c))
		if c.Leg != "" {
			fmt.Fprintf(b, "        %s\n", c.Leg)
		}
		fmt.Fprintf(b, "        %s\n", c.Mend)
	}
	if more := a.Mistakes - len(a.Causes); more > 0 {
		fmt.Fprintf(b, "  and %d more\n", more)
	}
	if a.unnamed != "" {
		fmt.Fprintf(b, "of %q, say also which key sounds the same\n", a.unnamed)
	}
	if len(a.Pairs) > 0 {
		fmt.Fprintln(b, "two at a time account for all of it; for example")
		for _, pair := range a.Pairs {
			fmt.Fprintf(b, "  %s, and %s\n", pair[0], pair[1])
		}
	}
	if a.Next != nil {
		fmt.Fprintln(b)
		a.Next.writeText(b)
	} else if a.Mistakes > 1 {
		fmt.Fprintln(b, "\nno single key tells them apart")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// some says which sentences a cause accounts for, where it is not all.
func (a symptomsAnswer) some(c heardCause) string {
	if len(c.Explains) == len(a.Heard) {
		return ""
	}
	var texts []string
	for _, i := range c.Explains {
		texts = append(texts, fmt.Sprintf("%q", a.Heard[i-1].Text))
	}
	return ", for " + strings.Join(texts, " and ")
}

func (q questionAnswer) writeText(b *strings.Builder) {
	if q.Loud {
		fmt.Fprintln(b, "a reed: loud; hearing protection, and nobody beside the pipes")
	}
	fmt.Fprintf(b, "next: press %s with %s\n", pressed(q.Play), drawnWords(q.Draw))
	for i, m := range q.Answers {
		if i == mostAnswers {
			fmt.Fprintf(b, "  and %s that are less likely\n", count(len(q.Answers)-i, "answer"))
			break
		}
		fmt.Fprintf(b, "  %-16s %3.0f%%  %s\n", m.Answer, 100*m.Likely, strings.Join(remain(m), "; "))
	}
}

// pressed is what to press; of nothing, no key.
func pressed(play []string) string {
	if len(play) == 0 {
		return "no key"
	}
	return strings.Join(play, " ")
}

// remain says what an answer leaves.
func remain(m meaningAnswer) []string {
	words := slices.Clone(m.Likeliest)
	if more := m.Mistakes - len(words); more > 0 {
		words = append(words, fmt.Sprintf("%d more", more))
	}
	return words
}

func drawnWords(ids []string) string {
	if len(ids) == 0 {
		return "nothing drawn"
	}
	return strings.Join(ids, ", ")
}

// portion is a part of a whole, to a ten-thousandth.
func portion(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func (a symptomsAnswer) rows() [][]string {
	rows := [][]string{{"likely", "class", "where", "leg", "mend"}}
	for _, c := range a.Causes {
		rows = append(rows, []string{fmt.Sprint(c.Likely), c.Class, c.Where, c.Leg, c.Mend})
	}
	return rows
}
