package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
)

// timesAnswer is how fast and how surely a relay answers; in JSON it is schema
// trundle.times/1. Times are milliseconds.
type timesAnswer struct {
	Schema  string        `json:"schema"`
	Verdict string        `json:"verdict"` // good, bad, not-run
	Why     string        `json:"why"`
	Left    string        `json:"left"` // why something may be left sounding, "" when it is silent
	Seed    uint64        `json:"seed"`
	Phases  []phaseAnswer `json:"phases"`
	Sending spreadAnswer  `json:"sending"` // how much later than planned messages were sent
	Stuck   []string      `json:"stuck"`   // valves that are open when all is let go
}

type phaseAnswer struct {
	Name    string       `json:"name"`
	Sent    int          `json:"sent"`
	Asked   int          `json:"asked"`
	Heard   int          `json:"heard"`
	Lost    int          `json:"lost"`
	Doubled int          `json:"doubled"`
	Seconds float64      `json:"seconds"`
	Trip    spreadAnswer `json:"trip"`
	trips   []time.Duration
}

type spreadAnswer struct {
	Count  int     `json:"count"`
	Min    float64 `json:"min"`
	Median float64 `json:"median"`
	P95    float64 `json:"p95"`
	P99    float64 `json:"p99"`
	Max    float64 `json:"max"`
	Jitter float64 `json:"jitter"` // standard deviation
}

func millisOf(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// spread describes times, ascending.
func spread(list []time.Duration) spreadAnswer {
	at := func(p float64) float64 { return millisOf(bench.Percentile(list, p)) }
	return spreadAnswer{len(list), at(0), at(50), at(95), at(99), at(100), millisOf(bench.Jitter(list))}
}

// Limits of what is planned at once.
const (
	longestSoak = time.Hour
	mostTrips   = 10_000
)

// benchTime measures how a relay answers.
func benchTime(cmd *cobra.Command, path string, load bench.Load, yes bool, ports cableFlags, form string, keep keeping) error {
	if load.Soak < 0 || load.Soak > longestSoak || load.Trips < 1 || load.Trips > mostTrips {
		return fmt.Errorf("--for must be from 0 to %v, and --trips from 1 to %d", longestSoak, mostTrips)
	}
	in, m, err := loadClearMap(cmd.ErrOrStderr(), path)
	if err != nil {
		return err
	}
	if err := reportsValves(in, m); err != nil {
		return err
	}
	if load.ByteTime, err = ports.out.rate(); err != nil {
		return err
	}
	if load.ByteTime == 0 {
		load.ByteTime = midiio.DIN
	}
	test, err := bench.NewTimes(in, m, load)
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "about %.0f s\n", test.Takes(0).Seconds())
	if err := confirm(cmd, yes); err != nil {
		return err
	}
	record, err := newTranscript(keep.transcript, m)
	if err != nil {
		return err
	}
	c, err := ports.open(m.IsKey, true)
	if err != nil {
		return errors.Join(err, record.close())
	}
	c.flooded = test.Break
	progress := progressOn(cmd.ErrOrStderr())
	err = c.run(test, test.Done, func(t midiio.Timed, sent bool) {
		record.message(t, sent)
		if sent {
			test.Left(c.clock() + c.out.Backlog().Time)
			progress.part(test.Phases[len(test.Phases)-1].Name, test.Takes(c.clock()))
		}
	})
	progress.clear()
	if err != nil && !errors.Is(err, errInterrupted) {
		test.Break(err.Error())
		err = nil
	}
	closed := c.close(record, test.Rest(nil, c.clock())...)
	if errors.Is(err, errInterrupted) {
		far := "before the first key"
		if n := len(test.Phases); n > 0 {
			far = "in the part " + test.Phases[n-1].Name
		}
		tellInterrupted(cmd.ErrOrStderr(), path, far, closed)
		return errors.Join(err, closed, record.close())
	}
	if err := record.close(); err != nil {
		return errors.Join(err, closed)
	}
	a := timesAnswer{Schema: "trundle.times/1", Verdict: "good", Why: test.Why, Seed: load.Seed, Phases: []phaseAnswer{}, Stuck: []string{}}
	for _, p := range test.Phases[min(1, len(test.Phases)):] {
		a.Phases = append(a.Phases, phaseAnswer{p.Name, p.Sent, p.Asked, p.Heard, p.Lost, p.Doubled, p.Seconds, spread(p.Trips), p.Trips})
		if p.Lost+p.Doubled > 0 {
			a.Verdict = "bad"
		}
	}
	slices.Sort(test.Errors)
	a.Sending = spread(test.Errors)
	for _, v := range test.Stuck {
		a.Stuck, a.Verdict = append(a.Stuck, mapping.Thing{Kind: mapping.Valve, Index: v}.Name(in)), "bad"
	}
	if a.Why != "" {
		a.Verdict = "not-run"
	}
	a.Left = leftBy(closed)
	if form == "json" {
		err = writeJSON(cmd.OutOrStdout(), a)
	} else {
		a.text(cmd.OutOrStdout())
	}
	err = errors.Join(err, keep.day(ports, func() (dayTest, map[string]string) { return a.inDay(nameOf(in)), filesRead(path, "", nil) }))
	return endTest(cmd, err, a.Left, a.Verdict == "good")
}

func (a timesAnswer) text(w io.Writer) {
	table := tabwriter.NewWriter(w, 0, 0, 1, ' ', tabwriter.AlignRight)
	fmt.Fprintf(table, "%-17s\tsent\t/s\theard\tlost\tdoubled\tmin\t50th\t95th\t99th\tmax\tjitter\t\n", "times in ms")
	for _, p := range a.Phases {
		rate := 0.0
		if p.Seconds > 0 {
			rate = float64(p.Sent) / p.Seconds
		}
		fmt.Fprintf(table, "%-17s\t%d\t%.0f\t%d\t", p.Name, p.Sent, rate, p.Heard)
		if p.Asked > 0 {
			t := p.Trip
			fmt.Fprintf(table, "%d\t%d\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t", p.Lost, p.Doubled, t.Min, t.Median, t.P95, t.P99, t.Max, t.Jitter)
		}
		fmt.Fprintln(table)
	}
	table.Flush()
	for _, p := range a.Phases {
		if p.Name == "round trip" {
			histogram(w, p.trips)
		}
	}
	a.end(w)
}

// end says how it ended.
func (a timesAnswer) end(w io.Writer) {
	if a.Why != "" {
		fmt.Fprintf(w, "not finished: %s\n", a.Why)
		return
	}
	if len(a.Stuck) == 0 {
		fmt.Fprintf(w, "soak with seed %d: silent at its end\n", a.Seed)
	} else {
		fmt.Fprintf(w, "soak with seed %d: still open at its end: %s\n", a.Seed, strings.Join(a.Stuck, ", "))
	}
	fmt.Fprintf(w, "messages were sent %.3f ms late in the median, %.3f ms at the 99th percentile\n", a.Sending.Median, a.Sending.P99)
}

// part shows how far a test of times is.
func (p progress) part(name string, left time.Duration) {
	if p.to != nil {
		fmt.Fprintf(p.to, "\r%s; %.0f s left\x1b[K", name, left.Seconds())
	}
}

func (s spreadAnswer) String() string {
	return fmt.Sprintf("min %.1f, median %.1f, 95th %.1f, 99th %.1f, max %.1f, jitter %.1f ms", s.Min, s.Median, s.P95, s.P99, s.Max, s.Jitter)
}

// bars is how many lines a histogram has at most, and barWidth how long they are.
const bars, barWidth = 12, 40

// histogram shows times, ascending, in steps of 1, 2 or 5 and noughts.
func histogram(w io.Writer, list []time.Duration) {
	if len(list) == 0 {
		return
	}
	first, last := list[0], list[len(list)-1]
	step := 10 * time.Microsecond
	for i := 0; (last/step)-(first/step) >= bars; i++ {
		step = step * []time.Duration{2, 5, 2}[i%3] / []time.Duration{1, 2, 1}[i%3]
	}
	counts := make([]int, last/step-first/step+1)
	for _, d := range list {
		counts[d/step-first/step]++
	}
	most := slices.Max(counts)
	for i, n := range counts {
		from := (first/step + time.Duration(i)) * step
		fmt.Fprintf(w, "  %8.2f ms %5d %s\n", millisOf(from), n, strings.Repeat("#", (n*barWidth+most-1)/most))
	}
}
