package auth

import (
	"testing"

	"pgregory.net/rapid"
)

func TestCSRFBelongsToOneSession(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mine, other := rapid.StringN(1, 50, -1).Draw(t, "mine"), rapid.StringN(1, 50, -1).Draw(t, "other")
		word := CSRF(mine)
		if !CheckCSRF(mine, word) {
			t.Fatal("its own word is refused")
		}
		if mine != other && CheckCSRF(other, word) {
			t.Fatal("the word of another session is taken")
		}
		if word == mine || CheckCSRF(mine, mine) || CheckCSRF(mine, word+"A") || CheckCSRF(mine, "") {
			t.Fatal("something else than the word is taken")
		}
	})
}

func TestNoSessionHasNoCSRF(t *testing.T) {
	if CSRF("") != "" || CheckCSRF("", "") || CheckCSRF("", CSRF("x")) {
		t.Error("a form without a session is taken")
	}
}

func TestSecretsDiffer(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		s := newSecret()
		if len(s) != 43 || seen[s] || seen[fingerprint(s)] || fingerprint(s) == s {
			t.Fatalf("%q was made twice or is its own fingerprint", s)
		}
		seen[s], seen[fingerprint(s)] = true, true
	}
}
