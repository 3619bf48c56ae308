package handlers

import (
	"strconv"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
)

// idParam reads the number in an address such as /holds/7/release.
func idParam(c *fiber.Ctx) (int64, error) {
	id, err := strconv.ParseInt(c.Params("id"), 10, 64)
	if err != nil || id < 1 {
		return 0, problem.New(problem.Missing, "there is nothing at "+c.Path(), "check the address, or start from the front page")
	}
	return id, nil
}
