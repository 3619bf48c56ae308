// Package auth knows who somebody is and what they may do: people, roles, passwords, sessions and tokens.
package auth

import (
	"time"

	"spanroom/internal/store"
	"spanroom/models"
)

// Room signs people in and out. Now is the clock of every session and of the ledger.
type Room struct {
	Store *store.Store
	Now   func() time.Time
}

// Person is somebody who is signed in, or a program that came with a token.
type Person struct {
	ID   int64  `json:"-"`
	Name string `json:"name"`
	Role Role   `json:"role"`
}

// Act says who acts, in which request, and what makes that request the same when it is sent again.
type Act struct {
	By      Person
	Request string
	Key     string
	Hash    string
}

// Once gives the key under which the answer of the act is kept.
func (a Act) Once() store.Key {
	return store.Key{Person: a.By.ID, Key: a.Key, Hash: a.Hash}
}

func personOf(p models.Person) Person {
	return Person{ID: p.ID, Name: p.Name, Role: Role(p.Role)}
}
