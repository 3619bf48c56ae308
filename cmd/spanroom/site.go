package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"sync"
	"time"

	"spanroom/handlers"
	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/internal/store"
	"spanroom/views"
)

// longestGoodbye is how long requests that have begun may take after the program was told to stop.
const longestGoodbye = 10 * time.Second

// site is a spanroom that serves: an open store and what is said about it on the command line.
type site struct {
	store   *store.Store
	now     func() time.Time
	log     *slog.Logger
	views   string
	secure  bool
	proxies []string
}

// server is what handlers.New makes, as far as it matters here.
type server interface {
	Listener(net.Listener) error
	ShutdownWithTimeout(time.Duration) error
}

// serve listens until ctx ends, lets the requests that have begun come to their end, and returns when nothing of it uses
// the store any more. It tells begun its address as soon as it listens.
func (s site) serve(ctx context.Context, listen string, begun func(url string) error) error {
	app, err := s.app()
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", listen)
	if err != nil {
		return fmt.Errorf("%w; choose another address with --listen", err)
	}
	ctx, stop := context.WithCancel(ctx)
	var upkeep sync.WaitGroup
	upkeep.Go(func() { s.housekeeping(ctx) })
	defer upkeep.Wait()
	defer stop()
	if err := begun("http://" + listener.Addr().String()); err != nil {
		return errors.Join(err, listener.Close())
	}
	return s.until(ctx, app, listener)
}

// until runs the server to its end, which is the end of ctx or a failure to accept connections.
func (s site) until(ctx context.Context, app server, listener net.Listener) error {
	ended := make(chan error, 1)
	go func() { ended <- app.Listener(listener) }()
	s.log.Info("listening", "address", listener.Addr().String())
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	s.log.Info("stopping")
	if err := app.ShutdownWithTimeout(longestGoodbye); err != nil {
		s.log.Warn("stopped before every request had its answer", "error", err)
	}
	_ = listener.Close() // closed already, unless the end came before the server had taken it over
	return <-ended
}

func (s site) app() (server, error) {
	pages, err := views.Load(s.views)
	if err != nil {
		return nil, err
	}
	return handlers.New(handlers.Rooms{
		Auth:      auth.Room{Store: s.store, Now: s.now},
		Catalogue: catalogue.Room{Store: s.store, Now: s.now},
		Stock:     stock.Room{Store: s.store, Now: s.now},
		Purchase:  purchase.Room{Store: s.store, Now: s.now},
		Views:     pages, Ready: s.store.Ready, Now: s.now, Log: s.log, Secure: s.secure, Proxies: s.proxies,
	}), nil
}
