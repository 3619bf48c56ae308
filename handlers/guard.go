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
	bearer        = "Bearer"
)

// guard lets a request through to a handler when its sender is known and may do the deed. A write with a session must come
// from our own pages; a form carries the token of its session too.
func (a *app) guard(deed auth.Deed, h fiber.Handler) fiber.Handler {
	return func(c *fiber.Ctx) error {
		c.Set(fiber.HeaderCacheControl, "no-store") // no proxy keeps for one what another may not see
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
		return h(c)
	}
}

// whoIs finds the sender by bearer token, which only programs use, or by session.
func (a *app) whoIs(c *fiber.Ctx) (auth.Person, string, error) {
	if scheme, token, _ := strings.Cut(c.Get(fiber.HeaderAuthorization), " "); strings.EqualFold(scheme, bearer) && isAPI(c) {
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
	if fromElsewhere(c) || !isAPI(c) && !auth.CheckCSRF(session, c.FormValue("csrf")) {
		return problem.New(problem.Forbidden, "this did not come from a page of spanroom", "open the page again and repeat the step")
	}
	return nil
}

// fromElsewhere tells whether the browser says that another site sent this; an old one says less.
func fromElsewhere(c *fiber.Ctx) bool {
	if site := c.Get("Sec-Fetch-Site"); site != "" {
		return site != "same-origin" && site != "none"
	}
	origin := c.Get(fiber.HeaderOrigin)
	if origin == "" {
		return false
	}
	u, err := url.Parse(origin)
	return err != nil || u.Host != c.Hostname()
}

// actOf says who acts in this request, and what makes it the same request when it comes again: its key, of which only a
// fingerprint is kept, because a sender may choose any, and the fingerprint of all that was sent.
func actOf(c *fiber.Ctx) auth.Act {
	act := auth.Act{By: personOf(c), Request: requestID(c)}
	key := c.Get("Idempotency-Key")
	if key == "" && !isAPI(c) {
		key = c.FormValue("key")
	}
	if key != "" {
		act.Key = fingerprint(key)
		act.Hash = fingerprint(c.Method() + " " + strings.TrimPrefix(c.Path(), "/api/v1") + "\n" + sent(c))
	}
	return act
}

func fingerprint(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

func personOf(c *fiber.Ctx) auth.Person {
	person, _ := c.Locals(personLocal).(auth.Person) // nobody, on the pages that need no sign-in
	return person
}

func sessionOf(c *fiber.Ctx) string {
	session, _ := c.Locals(sessionLocal).(string) // none, for a program
	return session
}

func isAPI(c *fiber.Ctx) bool {
	path, found := strings.CutPrefix(c.Path(), "/api/v1")
	return found && (path == "" || path[0] == '/')
}

func requestID(c *fiber.Ctx) string {
	id, _ := c.Locals("requestid").(string) // absent only where the middleware did not run
	return id
}

func escape(s string) string { return url.QueryEscape(s) }

// nothingHere goes before the answer to what no route is for, so that it has the menu where somebody is signed in.
func (a *app) nothingHere(c *fiber.Ctx) error {
	if person, session, err := a.whoIs(c); err == nil {
		c.Locals(personLocal, person)
		c.Locals(sessionLocal, session)
	}
	return c.Next() // to nothing, which fiber tells from an address that takes another method
}
