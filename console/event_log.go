package console

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// Timed is an event and when it happened, counted from the log's beginning.
type Timed struct {
	At time.Duration
	Event
}

// LogHead is the first line of every log. The lines behind it are an event
// each: the time in seconds, the kind, and what it was done to.
//
//	0.25 key great C4 down
//
// Blank lines and lines that begin with # are passed over.
const LogHead = "format: 1"

// ParseLog reads a log of events on the instrument; file is its name in
// findings, each of which is an error that leaves no log.
func ParseLog(in *Instrument, file string, data []byte) ([]Timed, []finding.Finding) {
	if text := (&yamldoc.Source{File: file}); !text.IsText(data) {
		return nil, text.Findings
	}
	r := logReader{ids: newIDs(in), file: file}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	log := make([]Timed, 0, bytes.Count(data, []byte{'\n'}))
	line, headed := 0, false
	for text := range strings.Lines(string(data)) {
		line++
		words := strings.Fields(text)
		switch {
		case len(words) == 0 || words[0][0] == '#':
		case !headed:
			headed = true
			if strings.Join(words, " ") != LogHead {
				r.wrong(line, 1, finding.OtherFormat, "this program reads logs that begin with the line "+strconv.Quote(LogHead))
				return nil, r.findings
			}
		default:
			log = r.event(log, line, text, words)
		}
	}
	if !headed {
		r.wrong(1, 1, finding.NoMeaning, "is empty; a log begins with the line "+strconv.Quote(LogHead))
	}
	if r.findings != nil {
		return nil, r.findings
	}
	return log, nil
}

type logReader struct {
	*ids
	file     string
	findings []finding.Finding
	last     time.Duration
}

func (r *logReader) wrong(line, column int, rule, message string) {
	r.findings = append(r.findings, finding.Finding{Rule: rule, Severity: finding.Error,
		Place: finding.Place{File: r.file, Line: line, Column: column}, Message: message})
}

func (r *logReader) event(log []Timed, line int, text string, words []string) []Timed {
	at, err := parseTime(words[0])
	if err == nil && at < r.last {
		err = fmt.Errorf("the time %s is before that of the line above", words[0])
	}
	if err == nil && len(words) == 1 {
		err = fmt.Errorf("an event is missing behind the time")
	}
	if err != nil {
		r.wrong(line, column(text, 0), finding.NoMeaning, err.Error())
		return log
	}
	r.last = at
	e, wrong, err := r.parse(words[1:])
	if err != nil {
		r.wrong(line, column(text, wrong+1), finding.NoMeaning, err.Error())
		return log
	}
	return append(log, Timed{at, e})
}

// column is where the nth word of a line begins, in characters from 1.
func column(text string, n int) int {
	rest := text
	for ; ; n-- {
		rest = strings.TrimLeftFunc(rest, unicode.IsSpace)
		if n == 0 || rest == "" {
			return utf8.RuneCountInString(text[:len(text)-len(rest)]) + 1
		}
		rest = strings.TrimLeftFunc(rest, func(r rune) bool { return !unicode.IsSpace(r) })
	}
}

// mostSeconds bounds the times of a log: about 31 years.
const mostSeconds = 1_000_000_000

// parseTime reads seconds with up to nine decimals, exactly.
func parseTime(text string) (time.Duration, error) {
	whole, decimals, dotted := strings.Cut(text, ".")
	seconds, err := strconv.ParseUint(whole, 10, 32)
	var nanos uint64
	if err == nil && dotted {
		if len(decimals) == 0 || len(decimals) > 9 {
			return 0, fmt.Errorf("%q is no time: seconds have one to nine decimals", text)
		}
		nanos, err = strconv.ParseUint(decimals+strings.Repeat("0", 9-len(decimals)), 10, 32)
	}
	if err != nil || seconds > mostSeconds {
		return 0, fmt.Errorf("%q is no time: a line begins with seconds, like 12.25", text)
	}
	return time.Duration(seconds)*time.Second + time.Duration(nanos), nil
}

// AppendTime appends a time as logs write it: seconds, no decimal too many.
func AppendTime(line []byte, at time.Duration) []byte {
	line = strconv.AppendInt(line, int64(at/time.Second), 10)
	nanos := int64(at % time.Second)
	if nanos == 0 {
		return line
	}
	line = append(line, '.')
	for unit := int64(time.Second / 10); nanos > 0; unit /= 10 {
		line = append(line, byte('0'+nanos/unit))
		nanos %= unit
	}
	return line
}

// AppendTimed appends a line of a log.
func (in *Instrument) AppendTimed(log []byte, e Timed) []byte {
	log = append(AppendTime(log, e.At), ' ')
	return append(in.AppendEvent(log, e.Event), '\n')
}
