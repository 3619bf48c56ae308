package auth

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"spanroom/internal/problem"
)

type clock struct{ now time.Time }

func (c *clock) Now() time.Time { return c.now }

func newLimiter(most int, within time.Duration) (*Limiter, *clock) {
	c := &clock{now: time.Date(2027, 3, 3, 8, 0, 0, 0, time.UTC)}
	return &Limiter{Now: c.Now, Most: most, Within: within}, c
}

func TestLimiterSaysWhenToComeBack(t *testing.T) {
	l, c := newLimiter(2, 10*time.Minute)
	for range 2 {
		if err := l.Try("ada", "10.0.0.1"); err != nil {
			t.Fatal(err)
		}
		c.now = c.now.Add(90 * time.Second)
	}
	var p *problem.Error
	if err := l.Try(" ada ", "10.0.0.1"); !errors.As(err, &p) || p.Kind != problem.TooMany || p.Advice != "wait 7 min, then try again" {
		t.Errorf("third try: %+v", err)
	}
	for _, other := range [][2]string{{"ada", "10.0.0.2"}, {"bo", "10.0.0.1"}} {
		if err := l.Try(other[0], other[1]); err != nil {
			t.Errorf("%v suffers for another: %v", other, err)
		}
	}
	c.now = c.now.Add(7 * time.Minute)
	if err := l.Try("ada", "10.0.0.1"); err != nil {
		t.Errorf("after the wait: %v", err)
	}
}

func TestLimiterForgetsAfterASignIn(t *testing.T) {
	l, _ := newLimiter(2, time.Minute)
	for range 10 {
		if err := l.Try("ada", "10.0.0.1"); err != nil {
			t.Fatal(err)
		}
		l.Clear("ada", "10.0.0.1")
	}
	if len(l.tries) != 0 {
		t.Errorf("%d keys are kept", len(l.tries))
	}
}

// No window of the time holds more tries than allowed, and a try is refused only where the window is full.
func TestLimiterWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.IntRange(1, 6).Draw(t, "most")
		l, c := newLimiter(most, time.Minute)
		var passed []time.Time
		for _, wait := range rapid.SliceOf(rapid.IntRange(0, 40)).Draw(t, "waits") {
			c.now = c.now.Add(time.Duration(wait) * time.Second)
			within := 0
			for _, p := range passed {
				if c.now.Sub(p) < time.Minute {
					within++
				}
			}
			err := l.Try("ada", "10.0.0.1")
			if (err == nil) != (within < most) {
				t.Fatalf("%d of %d tries in the window: %v", within, most, err)
			}
			if err == nil {
				passed = append(passed, c.now)
			}
		}
	})
}

func TestLimiterStaysSmall(t *testing.T) {
	l, c := newLimiter(3, time.Hour)
	for i := range mostKeys + 500 {
		c.now = c.now.Add(time.Millisecond)
		if err := l.Try(fmt.Sprint("name ", i), "10.0.0.1"); err != nil {
			t.Fatal(err)
		}
	}
	if len(l.tries) > mostKeys {
		t.Errorf("%d keys are kept, %d at most", len(l.tries), mostKeys)
	}
	if _, kept := l.tries[keyOf(fmt.Sprint("name ", mostKeys+499), "10.0.0.1")]; !kept {
		t.Error("the newest was forgotten")
	}
	c.now = c.now.Add(time.Hour)
	if err := l.Try("late", "10.0.0.1"); err != nil || len(l.tries) != 1 {
		t.Errorf("after the time %d keys are kept: %v", len(l.tries), err)
	}
}
