package handlers

import (
	"net/http"
	"net/url"
	"slices"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/problem"
)

// kept is a form that was sent when its session had ended. It waits, as it was typed, in the sign-in form of the same browser;
// here nothing is kept of it.
type kept struct {
	At     string // the address that it was sent to
	Fields string // as a form sends them
}

// mostKept bounds what waits in a sign-in form: it comes back to us escaped once more.
const mostKept = 200_000

// keepable are the acts whose forms can be shown again. Each of them looks at showsOnly before it does anything.
var keepable = append(nounAddresses(), "/settings", "/cylinders/:tag/move", "/cylinders/:tag/reading", "/cylinders/:tag/label",
	"/holds", "/holds/:id/release", "/receipts", "/lots/:id/certificate", "/checkouts", "/checkouts/:id/tests", "/checkouts/:id/return", "/issues")

func nounAddresses() []string {
	var all []string
	for _, n := range catalogue.Nouns() {
		all = append(all, "/"+n.Plural, "/"+n.Plural+"/:code")
	}
	return all
}

// canBeKept tells whether what is sent to a path can be shown again instead of being done.
func canBeKept(path string) bool {
	return slices.ContainsFunc(keepable, func(pattern string) bool {
		return fiber.RoutePatternMatch(path, pattern, fiber.Config{CaseSensitive: true})
	})
}

// keep takes what was typed into a form of our own, without what belongs to the session that ended.
func keep(c *fiber.Ctx) (kept, bool) {
	if !isForm(c) || fromElsewhere(c) || !canBeKept(c.Path()) {
		return kept{}, false
	}
	fields := url.Values{}
	for name, value := range typed(c) {
		if name != "csrf" && name != "key" && name != "password" {
			fields.Set(name, value)
		}
	}
	k := kept{At: c.OriginalURL(), Fields: fields.Encode()}
	return k, len(k.Fields) <= mostKept
}

// signInToGoOn answers a form that was sent without a session: with the sign-in page, in which it waits.
func (a *app) signInToGoOn(c *fiber.Ctx) error {
	page := signInPage{fields: map[string]string{}}
	d := details{Title: "You are signed out", Detail: "nothing was done", Advice: "sign in, then repeat the step"}
	if k, ok := keep(c); ok {
		page.Kept = k
		d.Advice = "sign in: what you typed comes back, to be looked at and sent again"
	}
	return a.render(c, http.StatusUnauthorized, "sign_in", page, viewOf(d))
}

// keptIn takes the form that waited out of the sign-in form, so that the rest of it reads as ever.
func keptIn(c *fiber.Ctx) kept {
	args := c.Request().PostArgs()
	k := kept{At: string(args.Peek("kept.at")), Fields: string(args.Peek("kept.fields"))}
	args.Del("kept.at")
	args.Del("kept.fields")
	return k
}

const showsOnlyLocal = "shows only"

// showsOnly tells whether the form of an act is only to be shown: it waited for its person to sign in.
func showsOnly(c *fiber.Ctx) bool { return c.Locals(showsOnlyLocal) != nil }

// waited is what stands on a form that comes back after signing in.
var waited = problem.New(problem.Conflict, "nothing was done yet", "look at what you typed and send it again; a file has to be chosen anew")

// showKept goes the way that the form would have gone, as the person who has just signed in, and only shows it.
func (a *app) showKept(c *fiber.Ctx, k kept, session string) error {
	at, err := url.Parse(ownPath(k.At))
	if err != nil || !canBeKept(at.Path) {
		return c.Redirect("/", http.StatusSeeOther)
	}
	c.Locals(showsOnlyLocal, true)
	c.Request().Header.SetCookie(sessionCookie, session)
	args := c.Request().PostArgs()
	args.Parse(k.Fields)
	args.Set("csrf", auth.CSRF(session))
	c.Path(at.Path)
	c.Request().URI().SetQueryString(at.RawQuery)
	return c.RestartRouting()
}
