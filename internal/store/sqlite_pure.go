//go:build !cgo

package store

import (
	"errors"
	"net/url"

	"modernc.org/sqlite"
)

const sqliteDriver = "sqlite"

func sqliteWriter(path string, how care) string {
	return fileURI(path) + "?_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(" + string(how) +
		")&_pragma=foreign_keys(1)&_pragma=cache_size(-16384)&_txlock=immediate"
}

func sqliteReader(path string) string {
	return fileURI(path) + "?mode=ro&_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)&_pragma=cache_size(-4096)"
}

func fileURI(path string) string { return "file:" + (&url.URL{Path: path}).EscapedPath() }

// sqliteCode is the extended result code of an error of the SQLite driver.
func sqliteCode(err error) (int, bool) {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code(), true
	}
	return 0, false
}
