package handlers

import (
	_ "embed"
	"net/http"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/adaptor"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"spanroom/views"
)

//go:embed openapi.yaml
var openAPI []byte

func (a *app) openAPI(c *fiber.Ctx) error {
	c.Set(fiber.HeaderContentType, "application/yaml")
	return c.Send(openAPI)
}

// healthz tells that the program runs.
func (a *app) healthz(c *fiber.Ctx) error { return c.SendString("ok\n") }

// readyz tells that the program can do its work: the database answers.
func (a *app) readyz(c *fiber.Ctx) error {
	if err := a.Ready(c.UserContext()); err != nil {
		a.Log.Warn("not ready", "error", err)
		return c.Status(http.StatusServiceUnavailable).SendString("the database does not answer\n")
	}
	return c.SendString("ok\n")
}

// static serves the stylesheet and the modules from memory.
func (a *app) static(c *fiber.Ctx) error {
	content, kind, etag, ok := views.Static(c.Params("name"))
	if !ok {
		return fiber.ErrNotFound
	}
	c.Set(fiber.HeaderETag, etag)
	c.Set(fiber.HeaderCacheControl, "no-cache")
	if c.Get(fiber.HeaderIfNoneMatch) == etag {
		return c.SendStatus(http.StatusNotModified)
	}
	c.Set(fiber.HeaderContentType, kind)
	return c.Send(content)
}

// meter counts and times requests by the pattern of their route, so that the number of series stays small.
type meter struct {
	registry *prometheus.Registry
	seconds  *prometheus.HistogramVec
}

func newMeter() *meter {
	m := &meter{registry: prometheus.NewRegistry(), seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "spanroom_request_seconds", Help: "Time to answer a request.",
		Buckets: []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1, 5},
	}, []string{"method", "route", "status"})}
	m.registry.MustRegister(m.seconds, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

func (m *meter) handler() fiber.Handler {
	return adaptor.HTTPHandler(promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{}))
}

func (a *app) measure(c *fiber.Ctx) error {
	begin, shown := time.Now(), showsOnly(c)
	err := c.Next()
	if err != nil {
		if err = a.fail(c, err); err != nil {
			return err
		}
	}
	if showsOnly(c) && !shown { // signing in went on to a form, which was counted there
		return nil
	}
	route := c.Route().Path
	if route == "/" && c.Path() != "/" {
		route = "none"
	}
	a.meter.seconds.WithLabelValues(c.Method(), route, strconv.Itoa(c.Response().StatusCode())).Observe(time.Since(begin).Seconds())
	return nil
}
