//go:build cgo

package handlers

import (
	"context"
	"database/sql"
	"io"
	"log/slog"
	"net"
	"net/http"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"
	_ "github.com/mattn/go-sqlite3" // the bare side of the comparisons

	"spanroom/internal/auth"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

func discard() *slog.Logger { return slog.New(slog.DiscardHandler) }

func bareWriter(b *testing.B, path string) *sql.DB {
	return bare(b, "file:"+path+"?_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000&_foreign_keys=on&_txlock=immediate")
}

func bareReader(b *testing.B, path string) *sql.DB {
	return bare(b, "file:"+path+"?mode=ro&_busy_timeout=5000")
}

func bare(b *testing.B, dsn string) *sql.DB {
	b.Helper()
	db, err := sql.Open("sqlite3", dsn)
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	b.Cleanup(func() {
		if err := db.Close(); err != nil {
			b.Error(err)
		}
	})
	return db
}

// bareHandler is one prepared read and a JSON answer.
func bareHandler(b *testing.B, path string, tag unit.Tag) {
	query := prepare(b, bareReader(b, path), `SELECT tag, stage, pressure_pa FROM cylinders WHERE tag = ?`)
	app := fiber.New(fiber.Config{DisableStartupMessage: true})
	app.Get("/:tag", func(c *fiber.Ctx) error {
		var tag, stage string
		var pressure int64
		if err := query.QueryRow(c.Params("tag")).Scan(&tag, &stage, &pressure); err != nil {
			return err
		}
		return c.JSON(fiber.Map{"tag": tag, "stage": stage, "pressure_pa": pressure})
	})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	go func() { _ = app.Listener(listener) }() // it ends with the shutdown below
	b.Cleanup(func() {
		if err := app.ShutdownWithTimeout(5 * time.Second); err != nil {
			b.Error(err)
		}
	})
	get(b, "http://"+listener.Addr().String()+"/"+string(tag), "")
}

// benchSession signs a clerk in, once for all counts that a benchmark is run with.
func benchSession(b *testing.B, path string) string {
	b.Helper()
	s, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	people := auth.Room{Store: s, Now: func() time.Time { return benchNow }}
	if err := people.AddUser(context.Background(), "clerk", auth.Clerk, testPassword); err != nil {
		b.Fatal(err)
	}
	session, _, err := people.SignIn(context.Background(), "clerk", testPassword)
	if err != nil {
		b.Fatal(err)
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	return session
}

func cylinderPages(b *testing.B, path, session string, tag unit.Tag) {
	address, _ := benchServer(b, path)
	get(b, address+"/cylinders/"+string(tag), session)
}

// get asks for one address over and over, as the holder of a session where there is one.
func get(b *testing.B, url, session string) {
	b.Helper()
	c := client()
	b.ResetTimer()
	for range b.N {
		req, err := http.NewRequest(http.MethodGet, url, nil)
		if err != nil {
			b.Fatal(err)
		}
		if session != "" {
			req.AddCookie(&http.Cookie{Name: sessionCookie, Value: session})
		}
		res, err := c.Do(req)
		if err != nil {
			b.Fatal(err)
		}
		_, err = io.Copy(io.Discard, res.Body)
		if err = closing(err, res.Body); err != nil || res.StatusCode != http.StatusOK {
			b.Fatal(res.StatusCode, err)
		}
	}
}
