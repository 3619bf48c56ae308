// Package handlers is the border: it turns requests into orders for the rooms, and their answers into JSON or pages.
package handlers

import (
	"context"
	"log/slog"
	"net/netip"
	"runtime/debug"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/compress"
	"github.com/gofiber/fiber/v2/middleware/helmet"
	"github.com/gofiber/fiber/v2/middleware/recover"
	"github.com/gofiber/fiber/v2/middleware/requestid"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/purchase"
	"spanroom/internal/stock"
	"spanroom/views"
)

// Rooms are the use cases behind the routes, and what the border itself needs.
type Rooms struct {
	Auth      auth.Room
	Catalogue catalogue.Room
	Stock     stock.Room
	Purchase  purchase.Room
	Views     *views.Set
	Ready     func(context.Context) error
	Now       func() time.Time
	Log       *slog.Logger
	Secure    bool     // pages are served over TLS, so cookies are sent over nothing else
	Proxies   []string // whose X-Forwarded-For is believed
}

type app struct {
	Rooms
	fiber   *fiber.App
	routes  []route
	limiter *auth.Limiter
	meter   *meter
	proxies []netip.Prefix
}

// route is one line of the table of routes.
type route struct {
	method, path string
	deed         auth.Deed // "" for what needs no sign-in
}

// New makes the web application.
func New(r Rooms) *fiber.App { return build(r).fiber }

func build(r Rooms) *app {
	a := &app{Rooms: r, meter: newMeter(), limiter: &auth.Limiter{Now: r.Now, Most: 8, Within: 15 * time.Minute}}
	a.fiber = fiber.New(fiber.Config{
		Immutable: true, CaseSensitive: true, BodyLimit: mostRead, ReadBufferSize: 32 << 10, DisableStartupMessage: true,
		ReadTimeout: 10 * time.Second, WriteTimeout: 30 * time.Second, IdleTimeout: time.Minute,
		ErrorHandler: a.fail, UnescapePath: true, EnableTrustedProxyCheck: true, TrustedProxies: r.Proxies,
		DisablePreParseMultipartForm: true, // one that is broken is told about in our words
	})
	for _, text := range r.Proxies {
		a.proxies = append(a.proxies, network(text))
	}
	a.fiber.Use(named, requestid.New(), deadline, a.measure, recover.New(recover.Config{EnableStackTrace: true, StackTraceHandler: a.logPanic}),
		security(r.Secure), compress.New(), legible)
	a.fiber.Get("/healthz", a.healthz)
	a.fiber.Get("/readyz", a.readyz)
	a.fiber.Get("/metrics", a.meter.handler())
	a.fiber.Get("/static/:name", a.static)
	a.fiber.Get("/api/v1/openapi.yaml", a.openAPI)
	a.table()
	a.fiber.Use(a.nothingHere)
	return a
}

// both mounts a handler for programs under /api/v1 and for people at the same path.
func (a *app) both(method, path string, deed auth.Deed, h fiber.Handler) {
	a.api(method, path, deed, h)
	a.page(method, path, deed, h)
}

// api mounts a handler for programs alone.
func (a *app) api(method, path string, deed auth.Deed, h fiber.Handler) {
	a.mount(method, "/api/v1"+path, deed, h)
}

// page mounts a handler for people alone.
func (a *app) page(method, path string, deed auth.Deed, h fiber.Handler) {
	a.mount(method, path, deed, h)
}

func (a *app) mount(method, path string, deed auth.Deed, h fiber.Handler) {
	a.routes = append(a.routes, route{method, path, deed})
	if deed != "" {
		h = a.guard(deed, h)
	}
	a.fiber.Add(method, path, h)
	if method == fiber.MethodGet {
		a.fiber.Head(path, h)
	}
}

const longestRequest = 20 * time.Second

// deadline ends the work of a request that nobody waits for any more.
func deadline(c *fiber.Ctx) error {
	ctx, cancel := context.WithTimeout(context.Background(), longestRequest)
	defer cancel()
	c.SetUserContext(ctx)
	return c.Next()
}

func security(secure bool) fiber.Handler {
	config := helmet.Config{
		ContentSecurityPolicy: "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
		ReferrerPolicy:        "same-origin", XFrameOptions: "DENY", CrossOriginEmbedderPolicy: "unsafe-none",
	}
	set := helmet.New(config)
	if !secure {
		return set
	}
	return func(c *fiber.Ctx) error { // whether or not the proxy tells that it ended a TLS connection
		c.Set(fiber.HeaderStrictTransportSecurity, "max-age=31536000")
		return set(c)
	}
}

func (a *app) logPanic(c *fiber.Ctx, cause any) {
	a.Log.Error("panic", "cause", cause, "request", requestID(c), "path", c.Path(), "stack", string(debug.Stack()))
}
