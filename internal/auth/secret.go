package auth

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"strings"
)

// bearerPrefix starts every token of a program, so that one is recognised where it does not belong.
const bearerPrefix = "srt_"

// newSecret makes 32 random bytes as text. It is given out once; only its fingerprint is kept.
func newSecret() string {
	var raw [32]byte
	rand.Read(raw[:]) // never fails since Go 1.24
	return base64.RawURLEncoding.EncodeToString(raw[:])
}

// fingerprint is what is kept of a secret: a guess at 256 random bits needs no slow hash to be hopeless.
func fingerprint(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

func isBearer(token string) bool { return strings.HasPrefix(token, bearerPrefix) }

// CSRF gives the word that a form of this session carries; another site cannot know it. Without a session there is none.
func CSRF(sessionToken string) string {
	if sessionToken == "" {
		return ""
	}
	mac := hmac.New(sha256.New, []byte(sessionToken))
	mac.Write([]byte("csrf"))
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

// CheckCSRF tells whether a form came from a page of this session.
func CheckCSRF(sessionToken, given string) bool {
	return sessionToken != "" && hmac.Equal([]byte(CSRF(sessionToken)), []byte(given))
}
