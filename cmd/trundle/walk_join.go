package main

import (
	"bufio"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
)

// terminals are the further ones of a walk. They show what the first one shows,
// and what is written at them answers too. They reach it by the machine's own
// network, at the place and with the word that stand in a file beside the record,
// which only who may read the user's files can read.
type terminals struct {
	listener net.Listener
	file     string
	lines    chan written
	over     chan struct{} // closed with them

	mu    sync.Mutex
	joint map[net.Conn]bool
}

// joining is what stands in the file.
type joining struct {
	At   string `json:"at"`
	Word string `json:"word"`
}

func joinFile(record string) string { return record + ".join" }

// How a walk greets who joins it, and takes leave.
const (
	walkGreets = "joined the walk"
	walkEnds   = "the walk has ended"
)

// openTerminals has others join the walk that is kept in a record, where the machine
// lets them.
func openTerminals(stderr io.Writer, record string) (*terminals, error) {
	if conn, _, err := join(record, "another walk"); err == nil {
		conn.Close()
		return nil, complaint{record + ": another walk is being kept in it", "answer that one with --join"}
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		fmt.Fprintf(stderr, "trundle: no further terminal can join: %v\n", err)
		return nil, nil
	}
	t := &terminals{listener: listener, file: joinFile(record), lines: make(chan written), over: make(chan struct{}), joint: map[net.Conn]bool{}}
	j := joining{listener.Addr().String(), rand.Text()}
	text, err := json.Marshal(j)
	if err == nil {
		_ = os.Remove(t.file) // one that a killed walk has left, maybe with other rights
		err = os.WriteFile(t.file, append(text, '\n'), 0o600)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: cannot be written: %w", t.file, reason(err)), listener.Close())
	}
	go func() {
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			go t.serve(conn, j.Word)
		}
	}()
	return t, nil
}

// serve takes the lines of one terminal, once it has said the word and a name.
func (t *terminals) serve(conn net.Conn, word string) {
	defer conn.Close()
	_ = conn.SetReadDeadline(time.Now().Add(patience))
	lines := bufio.NewScanner(conn)
	if !lines.Scan() {
		return
	}
	who, ok := strings.CutPrefix(lines.Text(), word+" ")
	if !ok {
		return
	}
	_ = conn.SetReadDeadline(time.Time{})
	if _, err := fmt.Fprintln(conn, walkGreets); err != nil {
		return
	}
	t.mu.Lock()
	t.joint[conn] = true
	t.mu.Unlock()
	t.say(written{who: who, joins: monochrome{conn}})
	for lines.Scan() {
		t.say(written{who: who, text: lines.Text()})
	}
	t.say(written{}) // when this is taken, what came of its last line was shown
	t.mu.Lock()
	delete(t.joint, conn)
	t.mu.Unlock()
	t.say(written{}) // there may be nobody left to wait for
}

// patience is how long the other end of a connection may keep one waiting.
const patience = 2 * time.Second

func (t *terminals) say(l written) {
	select {
	case t.lines <- l:
	case <-t.over:
	}
}

// wrote are the lines that are written at them.
func (t *terminals) wrote() <-chan written {
	if t == nil {
		return nil
	}
	return t.lines
}

// count is how many have joined.
func (t *terminals) count() int {
	if t == nil {
		return 0
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(t.joint)
}

// monochrome is a terminal that is shown text without colour, and soon takes it.
type monochrome struct{ net.Conn }

func (p monochrome) Write(text []byte) (int, error) {
	_ = p.SetWriteDeadline(time.Now().Add(patience))
	_, err := p.Conn.Write(inked.ReplaceAll(text, nil))
	return len(text), err
}

// Write shows at all of them what the first one shows. One that takes nothing is
// let go: the walk does not wait for it.
func (t *terminals) Write(text []byte) (int, error) {
	if t == nil {
		return len(text), nil
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	for conn := range t.joint {
		if _, err := (monochrome{conn}).Write(text); err != nil {
			conn.Close()
			delete(t.joint, conn)
		}
	}
	return len(text), nil
}

func (t *terminals) close() error {
	if t == nil {
		return nil
	}
	fmt.Fprintln(t, walkEnds)
	close(t.over)
	err := errors.Join(t.listener.Close(), os.Remove(t.file))
	t.mu.Lock()
	defer t.mu.Unlock()
	for conn := range t.joint {
		conn.Close()
	}
	return err
}

// join joins the walk that is kept in a record.
func join(record, who string) (net.Conn, *bufio.Reader, error) {
	var j joining
	data, err := os.ReadFile(joinFile(record))
	if err == nil {
		err = json.Unmarshal(data, &j)
	}
	if err != nil {
		return nil, nil, err
	}
	conn, err := net.DialTimeout("tcp", j.At, patience)
	if err != nil {
		return nil, nil, err
	}
	_ = conn.SetDeadline(time.Now().Add(patience))
	r := bufio.NewReader(conn)
	fmt.Fprintf(conn, "%s %s\n", j.Word, strings.Join(strings.Fields(who), " "))
	if line, err := r.ReadString('\n'); err != nil || line != walkGreets+"\n" { // another program is there by now
		conn.Close()
		return nil, nil, errors.New("no walk is there")
	}
	_ = conn.SetDeadline(time.Time{})
	return conn, r, nil
}

// joinWalk is a further terminal of a walk.
func (f walkFlags) joinWalk(cmd *cobra.Command) error {
	switch {
	case f.to == "":
		return complaint{"--join needs the record of the walk", "name it with --to, as the first terminal does"}
	case strings.TrimSpace(f.who) == "":
		return complaint{"--join needs a name", "say with --who who answers here"}
	}
	conn, r, err := join(f.to, f.who)
	if err != nil {
		return complaint{f.to + ": no walk is being kept in it now", "begin it first, then join it"}
	}
	ctx, stop := untilInterrupted()
	defer stop()
	shown, out := make(chan error, 1), folded(cmd.OutOrStdout())
	go func() {
		ended := false
		var err error
		for err == nil {
			var line string
			if line, err = r.ReadString('\n'); line != "" {
				ended = line == walkEnds+"\n"
				fmt.Fprint(out, line)
			}
		}
		if ended {
			err = nil
		}
		shown <- err
	}()
	lines := wholeLines(cmd.InOrStdin())
	left := false
	for {
		select {
		case <-ctx.Done():
			return errors.Join(errInterrupted, conn.Close())
		case line, more := <-lines:
			if left = !more || strings.EqualFold(strings.TrimSpace(line), "end"); left {
				lines = nil
				err = conn.(*net.TCPConn).CloseWrite()
			} else {
				_, err = fmt.Fprintln(conn, line)
			}
			if err != nil {
				lines = nil // the end of the walk is shown
			}
		case err := <-shown:
			conn.Close()
			if err != nil && !left {
				return complaint{"the walk was cut off", "it goes on where it was kept: begin it again, then join it"}
			}
			return nil
		}
	}
}
