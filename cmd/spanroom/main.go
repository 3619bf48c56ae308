// Command spanroom keeps the storeroom behind a fleet of gas detectors: it serves the pages and the API, and does the
// few things that need the machine itself, such as adding people, copying the database and checking its ledger.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"strings"
	"syscall"
	_ "time/tzdata" // the site's zone is known on machines without a zone database too

	"github.com/alecthomas/kong"

	"spanroom/internal/auth"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	p := &Program{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}
	os.Exit(p.Run(ctx, os.Args[1:]))
}

// Program is one run of spanroom. What scripts want goes to Out, sentences for people and the log go to Err.
type Program struct {
	In       io.Reader
	Out, Err io.Writer
}

// What a run ends with.
const (
	done    = 0
	failed  = 1 // it could not be done, or something is not as it should be
	misused = 2 // the arguments make no sense
)

// commands is everything that can be asked of the program; every flag also has an environment variable.
type commands struct {
	Serve serveCommand `cmd:"" help:"Serve the pages and the API."`
	Demo  demoCommand  `cmd:"" help:"Serve an invented storeroom, to look around in."`
	User  struct {
		Add      userAddCommand      `cmd:"" help:"Add somebody who signs in with a password."`
		Password userPasswordCommand `cmd:"" help:"Give somebody another password and sign them out everywhere."`
		Revoke   userRevokeCommand   `cmd:"" help:"Shut somebody out: password, sessions and tokens end."`
	} `cmd:"" help:"People who sign in."`
	Token struct {
		Add    tokenAddCommand    `cmd:"" help:"Add a token for a program and print it, this once."`
		Revoke tokenRevokeCommand `cmd:"" help:"End every token of a program."`
	} `cmd:"" help:"Tokens that programs come with."`
	Backup  backupCommand  `cmd:"" help:"Copy the database to a new file while it is in use."`
	Restore restoreCommand `cmd:"" help:"Bring a backup back to where no database is."`
	Verify  verifyCommand  `cmd:"" help:"Recompute the ledger and the balances. Ends with 1 when they do not hold."`
	Reorder reorderCommand `cmd:"" help:"Write today's order table as a workbook."`
	Version versionCommand `cmd:"" help:"Say which version this is."`

	ShowVersion versionFlag `name:"version" env:"-" help:"Say which version this is."`
}

// Run does what the arguments say and gives the exit code. It returns soon after ctx ends.
func (p *Program) Run(ctx context.Context, args []string) int {
	err := p.run(ctx, args)
	var wrong *kong.ParseError
	switch {
	case err == nil, errors.Is(err, errShown):
		return done
	case errors.As(err, &wrong):
		fmt.Fprintf(p.Err, "spanroom: %s; see %s --help\n", explain(err), asked(wrong.Context))
		return misused
	default:
		fmt.Fprintf(p.Err, "spanroom: %s\n", explain(err))
		return failed
	}
}

// errShown ends a run that was only asked for its help or its version.
var errShown = errors.New("shown")

func (p *Program) run(ctx context.Context, args []string) error {
	parser, err := kong.New(&commands{},
		kong.Name("spanroom"), kong.Description("The storeroom behind a fleet of gas detectors."),
		kong.DefaultEnvars("SPANROOM"), kong.Vars{"roles": roles()},
		kong.Writers(p.Out, p.Err), kong.Exit(func(int) {}), kong.Help(showHelp),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(p))
	if err != nil {
		return err
	}
	command, err := parser.Parse(args)
	if err != nil {
		return err
	}
	return command.Run()
}

func showHelp(o kong.HelpOptions, c *kong.Context) error {
	return errors.Join(kong.DefaultHelpPrinter(o, c), errShown)
}

// asked names the command that a person was after.
func asked(c *kong.Context) string {
	if c == nil || c.Selected() == nil {
		return "spanroom"
	}
	return c.Selected().FullPath()
}

func roles() string {
	var words []string
	for _, r := range auth.Roles() {
		words = append(words, string(r))
	}
	return strings.Join(words, ", ")
}

func (p *Program) log() *slog.Logger { return slog.New(slog.NewTextHandler(p.Err, nil)) }
