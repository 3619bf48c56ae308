package handlers

import (
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
)

const (
	sessionCookie = "spanroom"
	personLocal   = "person"
	sessionLocal  = "session"
	bearer        = "Bearer "
)

// guard lets a request through when its sender is known and may do the deed. A write with a session must come from our
// own pages; a form carries the token of its session too.
func (a *app) guard(deed auth.Deed) fiber.Handler {
	return func(c *fiber.Ctx) error {
		person, session, err := a.whoIs(c)
		if err != nil {
			return err
		}
		c.Locals(personLocal, person)
		c.Locals(sessionLocal, session)
		if session != "" && c.Method() != fiber.MethodGet && c.Method() != fiber.MethodHead {
			if err := ownPages(c, session); err != nil {
				return err
			}
		}
		if err := person.Check(deed); err != nil {
			return err
		}
		return c.Next()
	}
}

// whoIs finds the sender by bearer token, which only programs use, or by session.
func (a *app) whoIs(c *fiber.Ctx) (auth.Person, string, error) {
	if token, ok := strings.CutPrefix(c.Get(fiber.HeaderAuthorization), bearer); ok && isAPI(c) {
		person, err := a.Auth.ByBearer(c.UserContext(), token)
		return person, "", err
	}
	session := c.Cookies(sessionCookie)
	if session == "" {
		return auth.Person{}, "", problem.New(problem.SignedOut, "nobody is signed in", "sign in, or send a bearer token")
	}
	person, err := a.Auth.BySession(c.UserContext(), session)
	return person, session, err
}

// ownPages refuses a write that another site made a browser send.
func ownPages(c *fiber.Ctx, session string) error {
	foreign := problem.New(problem.Forbidden, "this did not come from a page of spanroom", "open the page again and repeat the step")
	switch site := c.Get("Sec-Fetch-Site"); {
	case site == "same-origin" || site == "none":
	case site != "":
		return foreign
	default:
		if origin := c.Get(fiber.HeaderOrigin); origin != "" {
			if u, err := url.Parse(origin); err != nil || u.Host != c.Hostname() {
				return foreign
			}
		}
	}
	if !isAPI(c) && !auth.CheckCSRF(session, c.FormValue("csrf")) {
		return foreign
	}
	return nil
}

// actOf says who acts in this request, and what makes it the same request when it comes again.
func actOf(c *fiber.Ctx) auth.Act {
	act := auth.Act{By: personOf(c), Request: requestID(c), Key: c.Get("Idempotency-Key")}
	if act.Key == "" && !isAPI(c) {
		act.Key = c.FormValue("key")
	}
	if act.Key != "" {
		sum := sha256.Sum256([]byte(c.Method() + " " + strings.TrimPrefix(c.Path(), "/api/v1") + "\n" + string(c.Body())))
		act.Hash = hex.EncodeToString(sum[:])
	}
	return act
}

func personOf(c *fiber.Ctx) auth.Person {
	person, _ := c.Locals(personLocal).(auth.Person) // nobody, on the pages that need no sign-in
	return person
}

func sessionOf(c *fiber.Ctx) string {
	session, _ := c.Locals(sessionLocal).(string) // none, for a program
	return session
}

func isAPI(c *fiber.Ctx) bool { return strings.HasPrefix(c.Path()+"/", "/api/v1/") }

func requestID(c *fiber.Ctx) string {
	id, _ := c.Locals("requestid").(string) // absent only where the middleware did not run
	return id
}

func escape(s string) string { return url.QueryEscape(s) }
