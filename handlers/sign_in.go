package handlers

import (
	"net/http"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
)

// signInOrder is what the sign-in form sends.
type signInOrder struct {
	Name     string `json:"name"`
	Password string `json:"password"`
	Next     string `json:"next"`
}

// signInPage is what the sign-in form needs to know.
type signInPage struct {
	Next  string
	Empty bool // nobody can sign in yet
	Kept  kept

	fields map[string]string // what was typed into it; nil where that is what was sent
}

// TypedFields is what was typed into the sign-in form itself, and not into the form that waits in it.
func (p signInPage) TypedFields() map[string]string { return p.fields }

func (a *app) signInForm(c *fiber.Ctx) (string, any, error) {
	anyone, err := a.Auth.Anyone(c.UserContext())
	return "sign_in", signInPage{Next: c.Query("next"), Empty: !anyone}, err
}

func (a *app) signIn(c *fiber.Ctx) error {
	if fromElsewhere(c) {
		return problem.New(problem.Forbidden, "this did not come from a page of spanroom", "open the sign-in page and sign in there")
	}
	waiting := keptIn(c)
	order, err := read[signInOrder](c)
	if err != nil {
		return err
	}
	from := a.address(c)
	if err := a.limiter.Try(order.Name, from); err != nil {
		return a.signInAgain(c, waiting, err)
	}
	token, _, err := a.Auth.SignIn(c.UserContext(), order.Name, order.Password)
	if err != nil {
		return a.signInAgain(c, waiting, err)
	}
	a.limiter.Clear(order.Name, from)
	a.setSession(c, token, int(auth.LongestTime.Seconds()))
	if waiting.At != "" {
		return a.showKept(c, waiting, token)
	}
	return c.Redirect(ownPath(order.Next), http.StatusSeeOther)
}

// signInAgain brings the sign-in page back; unlike other forms also for a wrong password.
func (a *app) signInAgain(c *fiber.Ctx, waiting kept, err error) error {
	kind := problem.KindOf(err)
	if kind == "" {
		return err
	}
	anyone, loadErr := a.Auth.Anyone(c.UserContext())
	if loadErr != nil {
		return loadErr
	}
	page := signInPage{Empty: !anyone, Kept: waiting, fields: typed(c)}
	delete(page.fields, "password")
	p := a.understand(c, err)
	return a.render(c, statuses[kind], "sign_in", page, viewOf(details{Title: "This sign-in did not work", Detail: p.Detail, Advice: p.Advice}))
}

func (a *app) signOut(c *fiber.Ctx) error {
	if err := a.Auth.SignOut(c.UserContext(), sessionOf(c)); err != nil {
		return err
	}
	a.setSession(c, "", -1)
	return c.Redirect("/sign-in", http.StatusSeeOther)
}

// setSession gives the cookie its age in seconds and no date: the site's clock may be another than the browser's.
func (a *app) setSession(c *fiber.Ctx, token string, age int) {
	c.Cookie(&fiber.Cookie{Name: sessionCookie, Value: token, Path: "/", MaxAge: age, HTTPOnly: true, Secure: a.Secure, SameSite: fiber.CookieSameSiteLaxMode})
}

// ownPath keeps a way back that stays on this site, and else leads to the front page. A browser leaves tabs and line ends
// out of an address and reads a backslash as a slash, so none of them may hide between two slashes.
func ownPath(next string) string {
	outside := func(r rune) bool { return r <= ' ' || r == '\\' || r == 0x7f }
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsFunc(next, outside) {
		return "/"
	}
	return next
}
