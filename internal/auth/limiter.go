package auth

import (
	"crypto/sha256"
	"fmt"
	"sync"
	"time"

	"spanroom/internal/problem"
)

// mostKeys bounds the memory of a Limiter; each key is 32 bytes and its few moments.
const mostKeys = 10_000

// Limiter slows down guessing: a name from an address has Most tries within the time Within. A try counts as failed
// until Clear says otherwise, so that tries at the same moment do not slip through together. Set the fields once; the zero
// value of the rest is ready.
type Limiter struct {
	Now    func() time.Time
	Most   int
	Within time.Duration

	mu    sync.Mutex
	tries map[[sha256.Size]byte][]time.Time // oldest first, Most at most
}

// Try counts a try to sign in, or refuses it and says when to come back. A refused try does not count.
func (l *Limiter) Try(name, address string) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	now, key := l.Now(), keyOf(name, address)
	recent := l.recent(l.tries[key], now)
	if len(recent) >= l.Most {
		return tooMany(recent[0].Add(l.Within).Sub(now))
	}
	if l.tries == nil {
		l.tries = map[[sha256.Size]byte][]time.Time{}
	}
	if _, known := l.tries[key]; !known && len(l.tries) >= mostKeys {
		l.makeRoom(now)
	}
	l.tries[key] = append(recent, now)
	return nil
}

// Clear forgets the tries of a name and address after a sign-in that went well.
func (l *Limiter) Clear(name, address string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.tries, keyOf(name, address))
}

// recent gives the tries that still count.
func (l *Limiter) recent(tries []time.Time, now time.Time) []time.Time {
	for len(tries) > 0 && now.Sub(tries[0]) >= l.Within {
		tries = tries[1:]
	}
	return tries
}

// makeRoom forgets the keys whose tries no longer count, or else the one that was tried longest ago.
func (l *Limiter) makeRoom(now time.Time) {
	var oldest [sha256.Size]byte
	var since time.Time
	for key, tries := range l.tries {
		last := tries[len(tries)-1]
		if now.Sub(last) >= l.Within {
			delete(l.tries, key)
		} else if since.IsZero() || last.Before(since) {
			oldest, since = key, last
		}
	}
	if len(l.tries) >= mostKeys {
		delete(l.tries, oldest)
	}
}

func keyOf(name, address string) [sha256.Size]byte {
	return sha256.Sum256([]byte(tidy(name) + "\x00" + address))
}

func tooMany(wait time.Duration) error {
	minutes := int((wait + time.Minute - 1) / time.Minute)
	return problem.New(problem.TooMany, "too many failed sign-ins under this name", fmt.Sprintf("wait %d min, then try again", minutes))
}
