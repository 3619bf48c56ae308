package main

import (
	"context"
	"fmt"
	"net/netip"
	"time"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/store"
)

type serveCommand struct {
	database
	Listen string   `default:"127.0.0.1:8080" placeholder:"ADDR" help:"Where to listen; port 0 takes a free one. Default ${default}."`
	Secure bool     `help:"People come over TLS, which a proxy in front ends: cookies are sent over nothing else."`
	Proxy  []string `placeholder:"IP" help:"Address or range of a proxy whose X-Forwarded-For is believed; may be repeated."`
	Views  string   `type:"existingdir" placeholder:"DIR" help:"Read the pages from here at each request, for development."`
}

// byItself is who the ledger says filled a new catalogue.
var byItself = auth.Act{By: auth.Person{Name: "spanroom"}}

// Validate refuses a proxy that is not an address: nothing would be believed of it, and every person would share one address.
func (c *serveCommand) Validate() error {
	for _, proxy := range c.Proxy {
		_, errOne := netip.ParseAddr(proxy)
		_, errRange := netip.ParsePrefix(proxy)
		if errOne != nil && errRange != nil {
			return fmt.Errorf("--proxy %q is neither an IP address nor a range such as 10.0.0.0/8", proxy)
		}
	}
	return nil
}

// Run serves until ctx ends.
func (c *serveCommand) Run(ctx context.Context, p *Program) error {
	log := p.log()
	return c.use(ctx, log, func(s *store.Store) error {
		if err := (catalogue.Room{Store: s, Now: time.Now}).Start(ctx, byItself); err != nil {
			return err
		}
		if err := c.hint(ctx, p, auth.Room{Store: s, Now: time.Now}); err != nil {
			return err
		}
		here := site{store: s, now: time.Now, log: log, views: c.Views, secure: c.Secure, proxies: c.Proxy}
		return here.serve(ctx, c.Listen, func(url string) error {
			_, err := fmt.Fprintf(p.Out, "spanroom listens on %s\n", url)
			return err
		})
	})
}

// hint says how to make the first person, as long as nobody can sign in.
func (c *serveCommand) hint(ctx context.Context, p *Program, people auth.Room) error {
	anyone, err := people.Anyone(ctx)
	if err != nil || anyone {
		return err
	}
	_, err = fmt.Fprintf(p.Err, "nobody can sign in yet; add somebody with: spanroom user add NAME --role supervisor --db %s\n", c.shown())
	return err
}
