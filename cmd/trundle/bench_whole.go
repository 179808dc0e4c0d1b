package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/circuit"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// wholeFlags are those of bench --whole.
type wholeFlags struct {
	relay, asFound *string
	loop           *[]string
	settle         *time.Duration
	yes            *bool
}

// settled is how long a relay must be silent at first.
const settled = 50 * time.Millisecond

func (f wholeFlags) wait() bench.Settle {
	if *f.settle > 0 {
		return bench.Settle{Time: *f.settle, Fixed: true}
	}
	return bench.Settle{Time: settled}
}

// wholeTest is the test of a whole relay.
type wholeTest struct {
	in    *console.Instrument
	m     *mapping.Map
	relay *wiring.Relay
	plan  probe.Plan
	want  probe.Answers
	heard probe.Answers   // what it was answered; nil for a chord that was answered now so, now otherwise
	loose [][2]int        // these, by step and chord
	found []probe.Mistake // that together account for the answers
	left  []probe.Wrong   // but for these
	flags wholeFlags
	cmd   *cobra.Command
}

// benchWhole tries a whole relay, and says what is wrong with it.
func benchWhole(cmd *cobra.Command, path string, flags wholeFlags, ports cableFlags, form string, keep keeping) error {
	t := &wholeTest{flags: flags, cmd: cmd}
	if *flags.relay == "" {
		return complaint{"--relay is missing", "name the relay design that the hardware should be"}
	}
	var err error
	if t.in, t.m, err = loadClearMap(cmd.ErrOrStderr(), path); err != nil {
		return err
	}
	if t.relay, err = loadRelay(*flags.relay, t.in); err != nil {
		return err
	}
	if err := ports.named(); err != nil {
		return err
	}
	a := wholeAnswer{Schema: "trundle.whole/1", Verdict: "not-run", Mistakes: []mistakeAnswer{}, Leftover: []string{}, Valves: []valveAnswer{}, Disturbed: []chordAnswer{}}
	t.plan = probe.New(t.in, t.relay)
	if err := t.through(&a); err != nil {
		return err
	}
	if err := t.mapped(); err != nil {
		return err
	}
	a.OneByOne = t.plan.OneByOne()
	plan, most, over, err := t.within(t.plan)
	if err != nil {
		return err
	}
	t.plan = bench.InFewMoves(plan)
	t.want = probe.Simulate(t.plan, t.relay, t.in)
	a.Presses, a.Most = t.plan.Presses(), most
	a.Foretold = bench.Foretell(t.plan, t.want, flags.wait(), t.m, t.byteTime(ports)).Seconds()
	say := cmd.OutOrStdout()
	if form == "json" {
		say = cmd.ErrOrStderr()
	}
	a.before(say)
	for _, each := range over {
		fmt.Fprintf(cmd.ErrOrStderr(), "trundle: one key alone draws %v; see that it can\n", each)
	}
	if err := confirm(cmd, *flags.yes); err != nil {
		return err
	}
	record, err := newTranscript(keep.transcript, t.m)
	if err != nil {
		return err
	}
	err = t.run(ports, record, &a)
	if err := errors.Join(err, record.close()); err != nil {
		return err
	}
	if a.Why == "" {
		t.diagnose(&a)
	}
	if form == "json" {
		err = writeJSON(cmd.OutOrStdout(), a)
	} else {
		a.after(cmd.OutOrStdout())
	}
	if err == nil && *flags.asFound != "" {
		err = t.writeAsFound(a)
	}
	err = errors.Join(err, keep.day(ports, func() (dayTest, map[string]string) { return a.inDay(t), filesRead(path, *flags.relay, t.relay) }))
	return endTest(cmd, err, a.Left, a.Verdict == "equal")
}

// mapped complains of what the test needs and the map does not have.
func (t *wholeTest) mapped() error {
	var missing []string
	if t.plan.Loop == nil {
		if err := reportsValves(t.in, t.m); err != nil {
			return err
		}
		for _, r := range silentRanks(t.in, t.m) {
			missing = append(missing, "the valves of "+t.in.Ranks[r].ID)
		}
	}
	lacks := func(thing mapping.Thing) bool {
		entry, ok := t.m.Find(thing)
		return !ok || !entry.Has(mapping.ToOrgan)
	}
	for k, keyboard := range t.in.Keyboards {
		if t.plan.Loop.Has(k) {
			continue
		}
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if lacks(mapping.Thing{Kind: mapping.Key, Index: k, Note: n}) || keyboard.Touches == 2 && lacks(mapping.Thing{Kind: mapping.Second, Index: k, Note: n}) {
				missing = append(missing, "keys of "+keyboard.ID)
				break
			}
		}
	}
	for c, control := range t.in.Controls {
		if lacks(mapping.Thing{Kind: mapping.Control, Index: c}) {
			missing = append(missing, control.ID)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	const most = 6
	if more := len(missing) - most; more > 0 {
		missing = append(missing[:most], fmt.Sprintf("%d more", more))
	}
	return complaint{t.in.File + ": the map has no messages for " + strings.Join(missing, ", "),
		"a whole relay is tried by all of them; add them to the section midi (trundle learn)"}
}

// within keeps every chord of a plan within what the relay's supplies and fuses
// can give.
func (t *wholeTest) within(plan probe.Plan) (within probe.Plan, most string, over []bench.Amps, err error) {
	if !circuit.Given(t.relay) {
		return plan, "", nil, nil
	}
	c, found := circuit.Read(t.relay, t.in)
	if c == nil {
		return plan, "", nil, broken{found, checkCommandFor(t.in.File, *t.flags.relay)}
	}
	within, worst, over := bench.Within(plan, c, probe.CompileWith(t.relay, t.in, plan.Loop), t.relay.Board)
	if worst.Rated > 0 {
		most = worst.String()
	}
	return within, most, over, nil
}

// byteTime is how long a byte takes on the link: as the ports say, or the map,
// or as on a MIDI cable.
func (t *wholeTest) byteTime(ports cableFlags) time.Duration {
	if d, err := ports.out.rate(); err == nil && d > 0 {
		return d
	}
	if t.m.Baud > 0 {
		return midiio.ByteTime(t.m.Baud)
	}
	return midiio.DIN
}

// blowerOff is what must be typed.
const blowerOff = "the blower is off"

// confirm has it typed that nobody can be hurt by what is to come.
func confirm(cmd *cobra.Command, yes bool) error {
	if yes {
		return nil
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "Whole chords will be played. With wind on that is loud enough to hurt, and sliders\nmove. See that nobody is in a chamber, then type: %s\n", blowerOff)
	line, err := readLine(cmd.InOrStdin())
	if err == nil && strings.EqualFold(strings.Join(strings.Fields(line), " "), blowerOff) {
		return nil
	}
	return complaint{"nothing was played: it was not confirmed that the blower is off", fmt.Sprintf("type %q, or give --yes where nobody can be hurt", blowerOff)}
}

// readLine reads a line, and no further.
func readLine(r io.Reader) (string, error) {
	var line []byte
	b := make([]byte, 1)
	for {
		n, err := r.Read(b)
		switch {
		case n > 0 && b[0] == '\n', err == io.EOF && len(line) > 0:
			return string(line), nil
		case n > 0:
			line = append(line, b[0])
		case err != nil:
			return "", err
		}
	}
}

// run presses all chords, and silences the relay.
func (t *wholeTest) run(ports cableFlags, record *transcript, a *wholeAnswer) error {
	c, err := ports.open(t.m.IsKey, true)
	if err != nil {
		return err
	}
	c.exact = false // an answer is awaited, not a time
	began := c.clock()
	w := bench.NewWhole(t.in, t.m, t.plan, t.want, t.flags.wait())
	progress := progressOn(t.cmd.ErrOrStderr())
	try := func(w *bench.Whole) error {
		c.flooded = w.Break
		shown := -1
		err := c.run(w, w.Done, func(m midiio.Timed, sent bool) {
			record.message(m, sent)
			if sent {
				w.Left(c.clock() + c.out.Backlog().Time)
			}
			if w.Pressed() != shown { // a chord is thousands of messages
				shown = w.Pressed()
				progress.chords(shown, w.Presses(), a.Foretold-(c.clock()-began).Seconds())
			}
		})
		progress.clear()
		if err != nil && !errors.Is(err, errInterrupted) {
			w.Break(err.Error())
			err = nil
		}
		return err
	}
	if err = try(w); err == nil && w.Why == "" && w.Heard > 0 {
		for _, m := range w.Release(nil, c.clock()) { // none is held while this thinks
			c.out.Send(m)
			record.message(midiio.Timed{At: c.clock(), Message: m}, true)
		}
		t.heard, t.loose = w.Steady(), w.Loose()
		if err = t.find(w, a, try); err == nil && w.Why == "" {
			err = t.tellApart(w, a, try)
		}
	}
	closed := c.close(record, w.Rest(nil, c.clock())...)
	a.Seconds, a.Pressed, a.Why = (c.clock() - began).Seconds(), a.Pressed+w.Pressed(), w.Why
	a.Late, a.Unsteady = a.Late+w.Late, a.Unsteady+w.Unsteady
	if a.Why == "" && w.Heard == 0 {
		what := "valve"
		if t.plan.Loop != nil {
			what = "key behind the plug"
		}
		a.Why = "the relay reported no " + what + " at all: see that the cable is connected, and that its messages are those of the map"
	}
	if errors.Is(err, errInterrupted) {
		tellInterrupted(t.cmd.ErrOrStderr(), t.in.File, fmt.Sprintf("after %d of %s", a.Pressed, count(w.Presses(), "chord")), closed)
		return errors.Join(err, closed)
	}
	a.Left = leftBy(closed)
	return nil
}

// chords shows how far a test is.
func (p progress) chords(done, of int, left float64) {
	if p.to != nil {
		fmt.Fprintf(p.to, "\r%d of %d chords; %.0f s left\x1b[K", done, of, max(0, left))
	}
}

// diagnose finds the mistakes that account for the answers.
func (t *wholeTest) diagnose(a *wholeAnswer) {
	wrong := probe.Differ(t.want, t.heard)
	for _, at := range t.loose {
		step := t.plan.Steps[at[0]]
		a.Disturbed = append(a.Disturbed, chordAnswer{circuit.PlayOf(t.in, keysOfChord(step.Chords[at[1]])), t.controls(step.Draw)})
	}
	if a.Verdict = "different"; len(wrong) == 0 {
		if a.Unsteady == 0 {
			a.Verdict = "equal"
		}
		return
	}
	smallest := map[int]int{} // keys, by place in the answer
	for _, w := range wrong {
		step := t.plan.Steps[w.Step]
		keys := keysOfChord(step.Chords[w.Chord])
		v := valveAnswer{Opens: t.heard[w.Step][w.Chord].Has(w.Valve), Play: circuit.PlayOf(t.in, keys), Draw: t.controls(step.Draw)}
		v = t.valved(v, w.Valve)
		i := slices.IndexFunc(a.Valves, func(known valveAnswer) bool { return known.Valve == v.Valve && known.LetGo == v.LetGo })
		switch {
		case i < 0:
			i = len(a.Valves)
			a.Valves, smallest[i] = append(a.Valves, v), len(keys)+len(step.Draw)
		case len(keys)+len(step.Draw) < smallest[i]:
			v.Chords = a.Valves[i].Chords
			a.Valves[i], smallest[i] = v, len(keys)+len(step.Draw)
		}
		a.Valves[i].Chords++
	}
	for i, m := range t.found {
		for _, f := range m.Ways {
			a.Mistakes = append(a.Mistakes, mistakeAnswer{f.Class, f.Where, pinNames(t.relay, f.Pins), ofWiring(f, t.relay), i + 1, f})
		}
	}
	if len(t.found) > 0 {
		for _, w := range t.left {
			if v := t.valved(valveAnswer{}, w.Valve).Valve; !slices.Contains(a.Leftover, v) {
				a.Leftover = append(a.Leftover, v)
			}
		}
	}
	a.Smallest = t.smallest()
}

// valved names the valve of an answer, or what is looped.
func (t *wholeTest) valved(v valveAnswer, valve int) valveAnswer {
	if t.plan.Loop != nil {
		return t.loopedAnswer(v, valve)
	}
	v.Valve = mapping.Thing{Kind: mapping.Valve, Index: valve}.Name(t.in)
	return v
}

// controls are the ids of controls.
func (t *wholeTest) controls(list []int) []string {
	ids := []string{}
	for _, c := range list {
		ids = append(ids, t.in.Controls[c].ID)
	}
	return ids
}

func keysOfChord(chord []console.Held) (keys []console.Key) {
	for _, h := range chord {
		keys = append(keys, h.Key)
	}
	return keys
}
