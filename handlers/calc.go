package handlers

import "github.com/gofiber/fiber/v2"

// calculator answers a stateless question; a question that the trade refuses is answered too, with refused: true.
func calculator[Q, A any](answer func(Q) (A, error)) fiber.Handler {
	return func(c *fiber.Ctx) error {
		question, err := read[Q](c)
		if err != nil {
			return err
		}
		a, err := answer(question)
		if err != nil {
			return err
		}
		return c.JSON(a)
	}
}
