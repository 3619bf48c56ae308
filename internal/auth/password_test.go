package auth

import (
	"context"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestPasswordIsKeptAsPHCString(t *testing.T) {
	const password = "correct gas, right date"
	text, err := hashPassword(t.Context(), password)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(text, "$argon2id$v=19$m=19456,t=2,p=1$") || strings.Contains(text, password) {
		t.Errorf("kept as %q", text)
	}
	kept, err := parseRecord(text)
	if err != nil {
		t.Fatal(err)
	}
	for given, want := range map[string]bool{password: true, password + " ": false, "": false} {
		if got, err := kept.fits(t.Context(), given); got != want || err != nil {
			t.Errorf("%q fits: %v, %v", given, got, err)
		}
	}
	again, err := hashPassword(t.Context(), password)
	if err != nil || again == text {
		t.Errorf("the same password is kept the same way twice, or not at all: %v", err)
	}
}

func TestParametersAreReadFromTheString(t *testing.T) {
	cheap := record{cost: cost{kib: 64, time: 3, threads: 2}, salt: []byte("a salt of its own")}
	sum, err := cheap.derive(t.Context(), "an old password", 24)
	if err != nil {
		t.Fatal(err)
	}
	cheap.sum = sum
	kept, err := parseRecord(cheap.String())
	if err != nil {
		t.Fatal(err)
	}
	if fits, err := kept.fits(t.Context(), "an old password"); !fits || err != nil {
		t.Errorf("a hash with older costs does not fit: %v", err)
	}
	kept.time++
	if fits, _ := kept.fits(t.Context(), "an old password"); fits {
		t.Error("the costs in the string are not used")
	}
}

func TestRecordSurvivesItsText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := record{
			cost: cost{
				kib: rapid.Uint32Range(8, mostKiB).Draw(t, "kib"), time: rapid.Uint32Range(1, mostTime).Draw(t, "time"),
				threads: rapid.Uint8Range(1, 255).Draw(t, "threads"),
			},
			salt: rapid.SliceOfN(rapid.Byte(), 1, 32).Draw(t, "salt"), sum: rapid.SliceOfN(rapid.Byte(), 16, 64).Draw(t, "sum"),
		}
		back, err := parseRecord(r.String())
		if err != nil || back.String() != r.String() {
			t.Fatalf("%s came back as %s: %v", r, back, err)
		}
	})
}

func TestUnreadableRecordsAreRefused(t *testing.T) {
	good := record{cost: today, salt: make([]byte, saltBytes), sum: make([]byte, sumBytes)}.String()
	tests := map[string]string{
		"empty":           "",
		"not a record":    "password",
		"other function":  strings.Replace(good, "argon2id", "argon2i", 1),
		"other version":   strings.Replace(good, "v=19", "v=16", 1),
		"too much memory": strings.Replace(good, "m=19456", "m=99999999", 1),
		"too many passes": strings.Replace(good, "t=2", "t=9999", 1),
		"no pass":         strings.Replace(good, "t=2", "t=0", 1),
		"no thread":       strings.Replace(good, "p=1", "p=0", 1),
		"too many lanes":  strings.Replace(good, "p=1", "p=257", 1),
		"trailing cost":   strings.Replace(good, "p=1", "p=1,x=2", 1),
		"bad salt":        strings.Replace(good, "AAAA", "A*AA", 1),
		"short sum":       good[:len(good)-40],
		"one part more":   good + "$",
	}
	for name, text := range tests {
		if _, err := parseRecord(text); err == nil {
			t.Errorf("%s: %q was read", name, text)
		}
	}
}

func TestDecoyCostsWhatARealOneCosts(t *testing.T) {
	text, err := hashPassword(t.Context(), "any password")
	if err != nil {
		t.Fatal(err)
	}
	kept, err := parseRecord(text)
	if err != nil {
		t.Fatal(err)
	}
	if kept.cost != decoy.cost || len(kept.salt) != len(decoy.salt) || len(kept.sum) != len(decoy.sum) {
		t.Errorf("decoy %+v, real %+v", decoy.cost, kept.cost)
	}
	if fits, err := decoy.fits(t.Context(), ""); fits || err != nil {
		t.Errorf("the decoy fits: %v, %v", fits, err)
	}
}

func TestAThirdHashWaitsAndGivesUpWithItsRequest(t *testing.T) {
	for range cap(atOnce) {
		atOnce <- struct{}{}
	}
	defer func() {
		for range cap(atOnce) {
			<-atOnce
		}
	}()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := hashPassword(ctx, "any password"); err != context.Canceled {
		t.Errorf("with %d at work: %v", cap(atOnce), err)
	}
}

func TestLengthIsCountedInCharacters(t *testing.T) {
	for password, want := range map[string]bool{"": false, "123456789": false, "1234567890": true, "ééééé": false, "éééééééééé": true} {
		if longEnough(password) != want {
			t.Errorf("%q is long enough: %v", password, !want)
		}
	}
}
