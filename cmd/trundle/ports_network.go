package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"trundle/midiio"
	"trundle/midiio/network"
)

// sessionsThere are the sessions that are announced on the local network.
func sessionsThere() ([]portAnswer, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	found, err := network.Discover(ctx)
	var list []portAnswer
	for _, f := range found {
		list = append(list, portAnswer{"network:" + f.Peer.String(), true, true, f.Name})
	}
	return list, err
}

// patiently does what may have to wait for another computer: that is told after
// a second, and Ctrl-C ends it.
func (p portFlags) patiently(stderr io.Writer, do func() error) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- do() }()
	for second := time.After(time.Second); ; {
		select {
		case err := <-done:
			return err
		case <-second:
			fmt.Fprintf(stderr, "trundle: %s: waiting for someone to answer there\n", *p.name)
		case <-ctx.Done():
			return errInterrupted
		}
	}
}

// tellNews tells who joins, leaves or falls silent.
func (p portFlags) tellNews(stderr io.Writer, n *midiio.Network) {
	if n == nil {
		return
	}
	go func() {
		for news := range n.News() {
			fmt.Fprintf(stderr, "trundle: %s: %s\n", *p.name, news)
		}
	}()
}
