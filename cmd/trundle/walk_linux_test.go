package main

import (
	"bufio"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// startWalk starts a walk that is answered by what is written to stdin.
func startWalk(t *testing.T, link string, args ...string) (program *exec.Cmd, stdin io.WriteCloser, stdout, stderr *spoken) {
	t.Helper()
	path, err := exec.LookPath("trundle")
	require.NoError(t, err)
	program = exec.Command(path, append([]string{"walk"}, args...)...)
	program.Env = append(program.Environ(), "XDG_CACHE_HOME="+filepath.Dir(link))
	stdout, stderr = &spoken{}, &spoken{}
	program.Stdout, program.Stderr = stdout, stderr
	stdin, err = program.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, program.Start())
	return program, stdin, stdout, stderr
}

// person answers a walk as it asks.
type person struct {
	t      *testing.T
	stdin  io.Writer
	stdout *spoken
	seen   int // asked so far
}

var asked = regexp.MustCompile(`(?m)^(\d+) of (\d+): (.*)$`)

// next is the step that is asked for next, and what was said since.
func (p *person) next() (number int, do string) {
	p.t.Helper()
	var all [][]string
	require.Eventually(p.t, func() bool {
		all = asked.FindAllStringSubmatch(p.stdout.String(), -1)
		return len(all) > p.seen && !strings.HasSuffix(p.stdout.String(), all[len(all)-1][0])
	}, 20*time.Second, time.Millisecond, "nothing more is asked")
	step := all[p.seen]
	p.seen++
	number, err := strconv.Atoi(step[1])
	require.NoError(p.t, err)
	return number, step[3]
}

func (p *person) say(line string) {
	p.t.Helper()
	_, err := io.WriteString(p.stdin, line+"\n")
	require.NoError(p.t, err)
}

// restUntil answers groups as good until a step begins so.
func (p *person) restUntil(do string) (number int) {
	p.t.Helper()
	for {
		n, step := p.next()
		if strings.HasPrefix(step, do) {
			return n
		}
		p.say("rest")
	}
}

func answersOf(t *testing.T, day string) (list []dayShow) {
	t.Helper()
	a, err := loadDay(day)
	require.NoError(t, err)
	require.True(t, a.Whole, a.state())
	for _, e := range a.Entries {
		if e.Answer != nil {
			list = append(list, e)
		}
	}
	return list
}

// A walk at a stand-in, two programs over a pseudo-terminal. One wire is open and two
// are exchanged; a person says what is heard. The walk is killed in the middle, and
// begun again.
func TestAWalkAtAStandInIsKeptThroughAKill(t *testing.T) {
	dir := practice(t)
	link, day := filepath.Join(dir, "cable"), filepath.Join(dir, "day.jsonl")
	t.Setenv("XDG_CACHE_HOME", dir)
	stop := standInAt(t, dir, "pty:"+link, "--fault", "pin-open:X1.3", "--fault", "pins-swapped:X1.5,X1.6")
	args := []string{filepath.Join(dir, "organ.yaml"), "--relay", filepath.Join(dir, "relay.yaml"), "--in", "serial:" + link, "--out", "serial:" + link, "--to", day, "--who", "Ann"}
	program, stdin, stdout, _ := startWalk(t, link, args...)
	p := &person{t: t, stdin: stdin, stdout: stdout}
	first := p.restUntil("turn on valve flute:1")
	reports := func(valve string) {
		t.Helper()
		says(t, stdout, "  the relay says: "+valve+" on\n")
	}
	step := func(valve string) {
		t.Helper()
		_, do := p.next()
		require.Equal(t, "turn on valve "+valve, do)
	}
	reports("flute:1")
	p.say("good")
	step("flute:2")
	reports("flute:2")
	p.say("good")
	step("flute:3") // its wire is open: nothing is reported, and nothing clicks
	p.say("dead")
	step("flute:4")
	reports("flute:4")
	p.say("93mA") // nothing is known of amps here: it is asked for again
	says(t, stdout, "93mA is taken: is that one click?")
	p.say("good 93mA")
	step("flute:5")
	reports("flute:6")
	require.Len(t, answersOf(t, day), first+3, "each is kept before the next is asked for")
	require.NoError(t, program.Process.Kill())
	_ = program.Wait()

	// Nothing is lost, nothing is asked twice; the key that was held is let go.
	program, stdin, stdout, stderr := startWalk(t, link, args...)
	p = &person{t: t, stdin: stdin, stdout: stdout}
	n, do := p.next()
	require.Equal(t, first+4, n)
	require.Equal(t, "turn on valve flute:5", do)
	require.Len(t, answersOf(t, day), first+3)
	require.Eventually(t, func() bool { // a status byte that the killed one read comes again within a while
		p.say("again")
		p.next()
		return strings.Contains(stdout.String(), "  the relay says: flute:6 on\n")
	}, 20*time.Second, 200*time.Millisecond, "nothing is reported")
	p.say("wrong number 6 clicks")
	step("flute:6")
	reports("flute:5")
	p.say("w number 5 clicks")
	step("flute:7")
	p.say("rest")
	for done := false; !done; {
		switch _, do := p.next(); {
		case strings.HasPrefix(do, "read the open faults"):
			p.say("Ann Reed")
			done = true
		case strings.HasPrefix(do, "save the memories"):
			p.say("good")
		case strings.HasSuffix(do, "measure the volts at the far magnet"):
			p.say("clear")
			p.say("good 14V")
		default:
			p.say("clear")
			p.say("rest")
		}
	}
	err := program.Wait()
	require.Contains(t, stdout.String(), "3 not good\nboard X1\n"+
		"  valve flute:3\n      dead\n      X1.3 to valve flute:3\n"+
		"  valve flute:5\n      wrong: number 6 clicks\n      X1.5 to valve flute:5\n"+
		"  valve flute:6\n      wrong: number 5 clicks\n      X1.6 to valve flute:6\n"+
		"the relay says that no valve is open\n", stderr.String())
	requireExit(t, exitBad, err)
	stop()

	a, err := loadDay(day)
	require.NoError(t, err)
	require.True(t, a.Whole)
	require.Equal(t, a.Steps, a.Tested)
	require.Len(t, answersOf(t, day), a.Steps, "every step is answered once")
	require.Len(t, a.Open, 3)
	require.Equal(t, "the relay says that no valve is open", a.Entries[len(a.Entries)-1].Words)
}

// Two terminals of one walk: the second sees what is asked and answers too, both are
// told who answered, and the record holds it.
func TestASecondTerminalAnswersAWalk(t *testing.T) {
	dir := t.TempDir()
	link, day := filepath.Join(dir, "cable"), filepath.Join(dir, "day.jsonl")
	walkOf := func(args ...string) (*exec.Cmd, *person) {
		program, stdin, stdout, _ := startWalk(t, link, append([]string{"examples/smallest/organ.yaml", "--to", day}, args...)...)
		return program, &person{t: t, stdin: stdin, stdout: stdout}
	}
	nobody, _ := walkOf("--join", "--who", "Ben")
	requireExit(t, exitFailed, nobody.Wait())

	first, ann := walkOf("--who", "Ann")
	_, do := ann.next()
	require.Equal(t, "press key manual:C2", do)
	second, ben := walkOf("--join", "--who", "Ben")
	_, do = ben.next()
	require.Equal(t, "press key manual:C2", do, "the second terminal sees what is asked")
	says(t, ann.stdout, "  Ben has joined\n")
	ben.say("dead no sound")
	for _, terminal := range []*person{ann, ben} {
		says(t, terminal.stdout, "  input key manual:C2: dead: no sound, says Ben\n")
		_, do = terminal.next()
		require.Equal(t, "press key manual:C#2", do)
	}
	ann.say("good") // maybe for the step before, which Ben has answered just now
	says(t, ann.stdout, "  Ben answered just now: write good again if it is for this step\n")
	ann.say("good")
	says(t, ben.stdout, "  input key manual:C#2: good\n")

	another, _ := walkOf("--who", "Cid")
	requireExit(t, exitFailed, another.Wait())
	ben.say("good")
	require.Eventually(t, func() bool {
		if strings.Contains(ben.stdout.String(), "  Ann answered just now: write good again") {
			ben.say("good")
			return true
		}
		return strings.Contains(ben.stdout.String(), "  input key manual:D2: good, says Ben\n")
	}, 20*time.Second, time.Millisecond)
	says(t, ben.stdout, "  input key manual:D2: good, says Ben\n")
	ben.say("faint\nend") // only leaves
	require.NoError(t, second.Wait())
	require.Contains(t, ben.stdout.String(), "  input key manual:D#2: faint, says Ben\n", "a last answer is still shown")
	third, cid := walkOf("--join", "--who", "Cid")
	_, do = cid.next()
	require.Equal(t, "press key manual:E2", do)
	ann.say("end")
	says(t, cid.stdout, "4 of 388 steps answered, 2 not good\n")
	require.NoError(t, third.Wait())
	requireExit(t, exitBad, first.Wait())
	require.NoFileExists(t, joinFile(day))

	answers := answersOf(t, day)
	var who []string
	for _, a := range answers {
		who = append(who, a.Who)
	}
	require.Equal(t, []string{"Ben", "Ann", "Ben", "Ben"}, who)
}

// Knobs tested by a program over a pseudo-terminal, at jambs that another stands in
// for: every round is in the record of the day, and the verdict.
func TestTheKnobTestIsKeptInTheRecordOfTheDay(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{"organ.yaml": fewKnobs, "relay.yaml": fewKnobsRelay, "wiring.csv": fewKnobsWiring} {
		require.NoError(t, os.WriteFile(file(name), []byte(text), 0o600))
	}
	link, day := file("cable"), file("day.jsonl")
	path, err := exec.LookPath("trundle")
	require.NoError(t, err)
	jambs, said := exec.Command(path, "standin", file("organ.yaml"), "--relay", file("relay.yaml"), "--in", "pty:"+link, "--out", "pty:"+link, "--jambs"), &spoken{}
	jambs.Stdout = said
	hands, err := jambs.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, jambs.Start())
	t.Cleanup(func() { _ = jambs.Process.Kill() })
	says(t, said, "standing in for the knobs of Bench")
	program, stdin, stdout, stderr := startWalk(t, link, file("organ.yaml"), "--relay", file("relay.yaml"), "--in", "serial:"+link, "--out", "serial:"+link, "--knobs", "--to", day, "--who", "Ann")
	write := func(to io.Writer, line string) {
		_, err := io.WriteString(to, line+"\n")
		require.NoError(t, err)
	}
	byHand := func(asked, does, moved string) {
		says(t, stdout, asked)
		write(hands, does)
		says(t, said, moved)
		write(stdin, "done")
	}
	says(t, stdout, "write clear when the jambs are")
	write(stdin, "clear")
	byHand("push in all knobs by hand", "push", "pushed in by hand")
	byHand("draw all knobs by hand", "draw", "drawn by hand")
	err = program.Wait()
	require.NoError(t, jambs.Process.Signal(os.Interrupt))
	requireExit(t, exitInterrupted, jambs.Wait())
	require.NoError(t, err, "%s%s", stdout, stderr)

	a, err := loadDay(day)
	require.NoError(t, err)
	require.True(t, a.Whole)
	require.Equal(t, []string{"Ann"}, a.Who)
	require.Len(t, a.Entries, 2+4*6+1, "2 * ceil(log2(3 + 2)) rounds each way, moves by hand, and the verdict")
	require.Contains(t, a.state(), "test knobs of Bench over serial:"+link+": good")
	var out, log strings.Builder
	require.Equal(t, exitGood, run([]string{"day", day, "--format", "json"}, strings.NewReader(""), &out, &log), log.String())
	requireValid(t, "day", out.String())
}

// A relay that reports its valves, and not this one, is more to be believed than
// who says that it is good: both are kept.
func TestAValveThatIsNotReportedIsToldOf(t *testing.T) {
	dir := practice(t)
	k, _ := planned(t, filepath.Join(dir, "organ.yaml"), filepath.Join(dir, "relay.yaml")).begin()
	skipTo(t, k, walk.Valves)
	var kept []walk.Answer
	k.keep = func(_ walk.Step, a walk.Answer) error {
		kept = append(kept, a)
		return nil
	}
	k.begin(0)
	first := k.w.Steps[k.at].Items[0]
	require.Equal(t, wiring.ValveKind, first.Kind)
	k.reports = 1
	var shown strings.Builder
	k.out = bufio.NewWriter(&shown)
	k.report = reportTime
	at, due := k.due()
	require.True(t, due)
	require.NoError(t, k.tick(at))
	_, err := k.flush()
	require.NoError(t, err)
	require.Equal(t, "  the relay does not report "+k.in.Ranks[first.Index].ID+":"+strconv.Itoa(first.Note)+"\n", shown.String())
	require.NoError(t, k.line(written{text: "good"}, 2*reportTime))
	require.Equal(t, "the relay did not report "+k.in.Ranks[first.Index].ID+":"+strconv.Itoa(first.Note), kept[0].Words)
	require.True(t, kept[0].Verdict.IsGood())

	require.NoError(t, k.tick(3*reportTime))
	item := k.w.Steps[k.at].Items[0]
	report := k.m.End(mapping.AtOrgan, "relay").Tell(nil, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Valve, Index: k.in.Ranks[item.Index].Valve(item.Note)}, Value: 1})
	require.NotEmpty(t, report)
	require.NoError(t, k.hear(midiio.Timed{Message: report[0]}, 3*reportTime))
	require.NoError(t, k.line(written{text: "good"}, 5*reportTime))
	require.Empty(t, kept[1].Words)
}
