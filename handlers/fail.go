package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
	"spanroom/views"
)

// statuses is the one table from kinds of failure to HTTP.
var statuses = map[problem.Kind]int{
	problem.Malformed: http.StatusBadRequest,
	problem.SignedOut: http.StatusUnauthorized,
	problem.Forbidden: http.StatusForbidden,
	problem.Missing:   http.StatusNotFound,
	problem.Conflict:  http.StatusConflict,
	problem.Refused:   http.StatusConflict,
	problem.TooLarge:  http.StatusRequestEntityTooLarge,
	problem.Invalid:   http.StatusUnprocessableEntity,
	problem.TooMany:   http.StatusTooManyRequests,
}

var titles = map[problem.Kind]string{
	problem.Malformed: "The request cannot be read",
	problem.SignedOut: "Signing in is needed",
	problem.Forbidden: "Your role does not allow this",
	problem.Missing:   "There is no such thing",
	problem.Conflict:  "This does not go with what is there",
	problem.Refused:   "A rule stands in the way",
	problem.TooLarge:  "That is too large",
	problem.Invalid:   "Something is filled in wrongly",
	problem.TooMany:   "Too many attempts",
}

// details is a problem as RFC 9457 has it, with our additions.
type details struct {
	Type      string            `json:"type"`
	Title     string            `json:"title"`
	Status    int               `json:"status"`
	Kind      problem.Kind      `json:"kind"`
	Detail    string            `json:"detail"`
	Advice    string            `json:"advice,omitempty"`
	RequestID string            `json:"request_id"`
	Fields    []problem.Field   `json:"fields"`
	Findings  []problem.Finding `json:"findings"`
}

// fail is where every problem becomes a status, for programs and for people.
func (a *app) fail(c *fiber.Ctx, err error) error {
	p := a.understand(c, err)
	d := details{
		Type: "about:blank", Title: titles[p.Kind], Status: statuses[p.Kind], Kind: p.Kind, Detail: p.Detail, Advice: p.Advice,
		RequestID: requestID(c), Fields: p.Fields, Findings: p.Findings,
	}
	switch {
	case errors.Is(err, fiber.ErrMethodNotAllowed):
		d.Title, d.Status = "This is not done here", http.StatusMethodNotAllowed
	case p.Kind == "" && givenUp(c, err):
		d.Kind, d.Title, d.Status = "unknown", "This took too long", http.StatusServiceUnavailable
		c.Set(fiber.HeaderRetryAfter, "10")
	case p.Kind == "":
		d.Kind, d.Title, d.Status = "unknown", "Something went wrong here", http.StatusInternalServerError
	}
	if d.Fields == nil {
		d.Fields = []problem.Field{}
	}
	if d.Findings == nil {
		d.Findings = []problem.Finding{}
	}
	if isAPI(c) {
		c.Status(d.Status)
		if d.Kind == problem.SignedOut {
			c.Set(fiber.HeaderWWWAuthenticate, `Bearer realm="spanroom"`)
		}
		return c.JSON(d, "application/problem+json")
	}
	if d.Kind == problem.SignedOut && (c.Method() == fiber.MethodGet || c.Method() == fiber.MethodHead) {
		return c.Redirect("/sign-in?next="+escape(c.OriginalURL()), http.StatusSeeOther)
	}
	if d.Kind == problem.SignedOut {
		return a.signInToGoOn(c)
	}
	return a.render(c, d.Status, "problem", nil, viewOf(d))
}

// understand gives the problem in an error. What is unknown is logged with its cause and told blandly.
func (a *app) understand(c *fiber.Ctx, err error) *problem.Error {
	var p *problem.Error
	if errors.As(err, &p) {
		return p
	}
	var f *fiber.Error
	if errors.As(err, &f) {
		switch f.Code {
		case http.StatusMethodNotAllowed:
			return notDoneHere(c)
		case http.StatusNotFound:
			return problem.New(problem.Missing, "there is nothing at "+c.Path(), "check the address, or start from the front page")
		case http.StatusRequestEntityTooLarge:
			return tooLarge(c, mostRead)
		case http.StatusTooManyRequests:
			return problem.New(problem.TooMany, "there were too many attempts", "wait a minute, then try again")
		case http.StatusBadRequest, http.StatusRequestHeaderFieldsTooLarge:
			return problem.New(problem.Malformed, "the request cannot be read", "send it again")
		case http.StatusRequestTimeout, http.StatusBadGateway: // as fiber calls a connection that stalls or breaks
			return problem.New(problem.Malformed, "the request did not arrive as a whole", "send it again")
		}
	}
	if givenUp(c, err) {
		a.Log.Warn("request given up", "error", err, "request", requestID(c), "method", c.Method(), "path", c.Path())
		return tookTooLong(c)
	}
	a.Log.Error("request failed", "error", err, "request", requestID(c), "method", c.Method(), "path", c.Path())
	return &problem.Error{Detail: "the cause is in the server's log under request id " + requestID(c), Advice: "try again; if it stays, tell the person who runs spanroom the request id"}
}

// notDoneHere tells what an address takes; fiber has written it into the header Allow.
func notDoneHere(c *fiber.Ctx) *problem.Error {
	takes := strings.Join(strings.Split(c.GetRespHeader(fiber.HeaderAllow), ", "), " and ")
	advice := "go back and use the buttons of the page, or start from the front page"
	if isAPI(c) {
		advice = "send it by a method that the address takes"
	}
	return problem.New(problem.Missing, fmt.Sprintf("%s takes %s, not %s", c.Path(), takes, c.Method()), advice)
}

// givenUp tells whether a request failed because its time was over, or because nobody waits for it any more.
func givenUp(c *fiber.Ctx, err error) bool {
	return c.UserContext().Err() != nil || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled)
}

func tookTooLong(c *fiber.Ctx) *problem.Error {
	advice := "wait a moment, then try again"
	if c.Method() != fiber.MethodGet && c.Method() != fiber.MethodHead {
		advice = "look whether it was done, then send the same again: one form, or one Idempotency-Key, is done only once"
	}
	return &problem.Error{Detail: fmt.Sprintf("it was not done within %.0f seconds", longestRequest.Seconds()), Advice: advice}
}

func viewOf(d details) *views.Problem {
	v := &views.Problem{Title: d.Title, Detail: d.Detail, Advice: d.Advice}
	for _, f := range d.Fields {
		v.Fields = append(v.Fields, views.Field{Name: f.Name, Text: f.Text, Advice: f.Advice})
	}
	for _, f := range d.Findings {
		v.Findings = append(v.Findings, views.Finding{Rule: f.Rule, Severity: string(f.Severity), Subject: f.Subject, Text: f.Text, Advice: f.Advice})
	}
	return v
}
