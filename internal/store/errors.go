package store

import (
	"errors"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"

	"spanroom/internal/problem"
)

// translate turns what a driver says of a broken constraint into a problem, the same on every database. The rooms check
// before they write; this is the net beneath them. Everything else passes unchanged.
func translate(err error) error {
	var known *problem.Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	switch breach(err) {
	case "unique":
		return errors.Join(problem.New(problem.Conflict, "somebody made the same thing at the same moment", "look at what is there now, then try again"), err)
	case "foreign":
		return errors.Join(problem.New(problem.Invalid, "it refers to something that is not there", "check the names in it"), err)
	case "check", "not null":
		return errors.Join(problem.New(problem.Invalid, "a value is outside what can be kept", "check the figures and their units"), err)
	}
	return err
}

// breach names the kind of constraint that an error speaks of, or gives "".
func breach(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		switch pg.Code {
		case "23505":
			return "unique"
		case "23503":
			return "foreign"
		case "23514", "22P02", "22P05", "22021", "22003": // the last four: not JSON, not text, out of range
			return "check"
		case "23502":
			return "not null"
		}
		return ""
	}
	switch code, _ := sqliteCode(err); code {
	case 2067, 1555:
		return "unique"
	case 787:
		return "foreign"
	case 275, 1811:
		return "check"
	case 1299:
		return "not null"
	}
	return ""
}

// found turns "no such row" into the problem that names what is missing.
func found(err error, what, name string) error {
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return problem.NotFound(what, name)
	}
	return err
}
