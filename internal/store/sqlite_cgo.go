//go:build cgo

package store

import (
	"errors"
	"net/url"

	"github.com/mattn/go-sqlite3"
)

const sqliteDriver = "sqlite3"

func sqliteWriter(path string, how care) string {
	return fileURI(path) + "?_journal_mode=WAL&_synchronous=" + string(how) +
		"&_busy_timeout=5000&_foreign_keys=on&_txlock=immediate&_cache_size=-16384&_stmt_cache_size=64"
}

func sqliteReader(path string) string {
	return fileURI(path) + "?mode=ro&_busy_timeout=5000&_foreign_keys=on&_cache_size=-4096&_stmt_cache_size=64"
}

func fileURI(path string) string { return "file:" + (&url.URL{Path: path}).EscapedPath() }

// sqliteCode is the extended result code of an error of the SQLite driver.
func sqliteCode(err error) (int, bool) {
	var e sqlite3.Error
	if errors.As(err, &e) {
		return int(e.ExtendedCode), true
	}
	return 0, false
}
