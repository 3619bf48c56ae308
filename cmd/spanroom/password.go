package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"spanroom/internal/problem"
)

// newPassword reads a password: a line from a pipe or file, or twice from a terminal.
func (p *Program) newPassword(ctx context.Context) (string, error) {
	in := bufio.NewReader(p.In)
	if !isTerminal(p.In) {
		return line(ctx, in)
	}
	fmt.Fprint(p.Err, "The password shows on the screen as you type; --generate makes one for you.\nPassword: ")
	first, err := line(ctx, in)
	if err != nil {
		return "", err
	}
	fmt.Fprint(p.Err, "The same again: ")
	second, err := line(ctx, in)
	if err != nil {
		return "", err
	}
	if first != second {
		return "", problem.New(problem.Invalid, "the two passwords differ", "run it again and type the same one twice")
	}
	return first, nil
}

// line reads one line without its end; blanks belong to it. It gives up when ctx ends, where a terminal would wait on.
func line(ctx context.Context, in *bufio.Reader) (string, error) {
	type read struct {
		text string
		err  error
	}
	come := make(chan read, 1)
	go func() {
		text, err := in.ReadString('\n')
		come <- read{strings.TrimRight(text, "\r\n"), err}
	}()
	select {
	case <-ctx.Done():
		return "", ctx.Err()
	case r := <-come:
		if r.err != nil && !errors.Is(r.err, io.EOF) {
			return "", r.err
		}
		if r.text == "" {
			return "", problem.New(problem.Invalid, "no password came on the standard input", "write it into a pipe, or let --generate make one")
		}
		return r.text, nil
	}
}

func isTerminal(in io.Reader) bool {
	f, ok := in.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
