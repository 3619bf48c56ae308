package handlers

import (
	"net/netip"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
)

// A body over largestBody, or over largestUpload where a file may come, is refused in words. One over mostRead is not read to
// its end, and few clients hear why.
const (
	largestBody   = 1 << 20
	largestUpload = 10 << 20
	mostRead      = 16 << 20
)

var takesFiles = regexp.MustCompile(`^(/api/v1)?/lots/[^/]+/certificate$`)

// tooLarge refuses a body that is larger than its address takes; nil where it is not.
func tooLarge(c *fiber.Ctx, size int) *problem.Error {
	most, words := largestBody, "1 MiB"
	if takesFiles.MatchString(c.Path()) && bodyKind(c) == fiber.MIMEMultipartForm {
		most, words = largestUpload, "10 MiB"
	}
	if size <= most {
		return nil
	}
	return problem.New(problem.TooLarge, "what was sent is larger than "+words, "send less at once")
}

var ownRequestID = regexp.MustCompile(`^[\w.:-]{1,64}$`)

// named drops an id that a caller gave the request and that the ledger should not have to keep; a new one is made instead.
func named(c *fiber.Ctx) error {
	if !ownRequestID.MatchString(c.Get(fiber.HeaderXRequestID)) {
		c.Request().Header.Del(fiber.HeaderXRequestID)
	}
	return c.Next()
}

// legible refuses what no handler should have to look at: a path that is not text, which names nothing, and a body that is
// too large, or compressed, so that nobody knows how large it will be.
func legible(c *fiber.Ctx) error {
	if path := c.Path(); !utf8.ValidString(path) || strings.ContainsFunc(path, func(r rune) bool { return r < ' ' }) {
		return fiber.ErrNotFound
	}
	if p := compressed(c); p != nil {
		return p
	}
	if p := tooLarge(c, len(c.Request().Body())); p != nil {
		return p
	}
	return c.Next()
}

// compressed refuses a body that would have to be unpacked; nil where it need not.
func compressed(c *fiber.Ctx) *problem.Error {
	if encoding := c.Get(fiber.HeaderContentEncoding); encoding == "" || encoding == "identity" {
		return nil
	}
	return problem.New(problem.Malformed, "the body is compressed", "send it as it is, without Content-Encoding")
}

// network reads an address or a range of a proxy; what is neither covers nobody.
func network(text string) netip.Prefix {
	if one, err := netip.ParseAddr(text); err == nil {
		return netip.PrefixFrom(one, one.BitLen())
	}
	many, _ := netip.ParsePrefix(text) // the command line has refused what is neither
	return many
}

// address is where a request comes from. Behind our proxies it is the last address in X-Forwarded-For that is none of
// theirs: what stands before it is the sender's word.
func (a *app) address(c *fiber.Ctx) string {
	at, _ := netip.AddrFromSlice(c.Context().RemoteIP())
	var hops []string
	for _, line := range c.Request().Header.PeekAll(fiber.HeaderXForwardedFor) {
		hops = append(hops, strings.Split(string(line), ",")...)
	}
	for _, hop := range slices.Backward(hops) {
		before, err := netip.ParseAddr(strings.TrimSpace(hop))
		if err != nil || !a.proxied(at) {
			break
		}
		at = before
	}
	return at.Unmap().String()
}

func (a *app) proxied(at netip.Addr) bool {
	return slices.ContainsFunc(a.proxies, func(p netip.Prefix) bool { return p.Contains(at.Unmap()) })
}
