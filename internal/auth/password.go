package auth

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// MinPassword is how many characters a password has at least.
const MinPassword = 10

const (
	saltBytes = 16
	sumBytes  = 32
	mostKiB   = 256 * 1024 // a record that asks for more memory or passes than these is not ours
	mostTime  = 16
)

// cost is what one argon2id hash takes; it is kept with each hash, so that it can be raised later.
type cost struct {
	kib, time uint32
	threads   uint8
}

var today = cost{kib: 19 * 1024, time: 2, threads: 1}

// record is a kept password: PHC string $argon2id$v=19$m=…,t=…,p=…$salt$sum.
type record struct {
	cost
	salt, sum []byte
}

// decoy is checked when there is no such person or no password, so that the answer takes as long; it fits nothing.
var decoy = record{cost: today, salt: make([]byte, saltBytes), sum: make([]byte, sumBytes)}

var errRecord = errors.New("auth: the kept password hash cannot be read")

// atOnce bounds the memory of hashing: a third one waits.
var atOnce = make(chan struct{}, 2)

// longEnough tells whether a password has the characters it needs; blanks at its ends count.
func longEnough(password string) bool { return utf8.RuneCountInString(password) >= MinPassword }

func hashPassword(ctx context.Context, password string) (string, error) {
	r := record{cost: today, salt: make([]byte, saltBytes)}
	rand.Read(r.salt) // never fails since Go 1.24
	sum, err := r.derive(ctx, password, sumBytes)
	if err != nil {
		return "", err
	}
	r.sum = sum
	return r.String(), nil
}

// fits tells whether the password is the one of the record.
func (r record) fits(ctx context.Context, password string) (bool, error) {
	sum, err := r.derive(ctx, password, len(r.sum))
	return err == nil && subtle.ConstantTimeCompare(sum, r.sum) == 1, err
}

func (r record) derive(ctx context.Context, password string, size int) ([]byte, error) {
	select {
	case atOnce <- struct{}{}:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	defer func() { <-atOnce }()
	return argon2.IDKey([]byte(password), r.salt, r.time, r.kib, r.threads, uint32(size)), nil
}

// String gives the record as it is kept.
func (r record) String() string {
	b64 := base64.RawStdEncoding.EncodeToString
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, r.kib, r.time, r.threads, b64(r.salt), b64(r.sum))
}

// parseRecord reads a kept password; it takes nothing but what String writes.
func parseRecord(text string) (record, error) {
	var r record
	parts := strings.Split(text, "$")
	if len(parts) != 6 {
		return record{}, errRecord
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &r.kib, &r.time, &r.threads); err != nil {
		return record{}, errRecord
	}
	var errSalt, errSum error
	r.salt, errSalt = base64.RawStdEncoding.DecodeString(parts[4])
	r.sum, errSum = base64.RawStdEncoding.DecodeString(parts[5])
	bounded := r.kib <= mostKiB && r.time >= 1 && r.time <= mostTime && r.threads >= 1 && len(r.sum) >= 16 && len(r.sum) <= 64
	if errSalt != nil || errSum != nil || !bounded || r.String() != text {
		return record{}, errRecord
	}
	return r, nil
}
