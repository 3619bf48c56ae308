package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"spanroom/internal/problem"
)

// newPassword reads a password: a line from a pipe or file, or twice from a terminal, which does not show it.
func (p *Program) newPassword(ctx context.Context) (string, error) {
	terminal, ok := p.In.(*os.File)
	if !ok || !term.IsTerminal(int(terminal.Fd())) {
		return line(ctx, bufio.NewReader(p.In))
	}
	first, err := p.unseen(terminal, "Password: ")
	if err != nil {
		return "", err
	}
	second, err := p.unseen(terminal, "The same again: ")
	if err != nil {
		return "", err
	}
	if first != second {
		return "", problem.New(problem.Invalid, "the two passwords differ", "run it again and type the same one twice")
	}
	return first, nil
}

// unseen asks at a terminal without showing what is typed.
func (p *Program) unseen(terminal *os.File, ask string) (string, error) {
	fmt.Fprint(p.Err, ask)
	typed, err := term.ReadPassword(int(terminal.Fd()))
	fmt.Fprintln(p.Err)
	return string(typed), err
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
