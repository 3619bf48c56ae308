package handlers

import (
	"reflect"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"
)

// queryText reads a text from the address; what no database could compare is left out of it. The separator of a scan stays.
func queryText(c *fiber.Ctx, name string) string {
	text := strings.ToValidUTF8(c.Query(name), "")
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' && r != scanSeparator {
			return -1
		}
		return r
	}, text))
}

// scanSeparator is FNC1, as scanners type it between two elements.
const scanSeparator = 0x1d

// queryAfter reads after which number a list goes on; 0 is its start.
func queryAfter(c *fiber.Ctx) (int64, error) {
	text := c.Query("after")
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, badQuery("after", "it must be the number of the last row before")
	}
	return n, nil
}

// queryPage reads after which number a list goes on, and how many rows it shall have.
func queryPage(c *fiber.Ctx) (after int64, limit int, err error) {
	if after, err = queryAfter(c); err != nil {
		return 0, 0, err
	}
	limit, err = queryLimit(c)
	return after, limit, err
}

// addressFields gives what a form sent by the address, by name.
func addressFields(c *fiber.Ctx) map[string]string {
	fields := map[string]string{}
	c.Request().URI().QueryArgs().VisitAll(func(key, value []byte) { fields[string(key)] = string(value) })
	delete(fields, "done")
	return fields
}

// readAddress makes a question from the fields of an address, as read does from a form that was posted.
func readAddress[T any](fields map[string]string) (T, error) {
	var question T
	tree, err := formTree(fields)
	if err != nil {
		return question, err
	}
	b := binder{lax: true}
	b.value("", tree, reflect.ValueOf(&question).Elem())
	return question, b.wrong.Err()
}
