package demo

import (
	"testing"
	"time"
)

func TestClock(t *testing.T) {
	end := time.Date(2027, 3, 30, 9, 0, 0, 0, time.UTC) // 11:00 at Harrowmere
	c, err := newClock(end)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct {
		what string
		play func() error
		want string
	}{
		{"winter time", func() error { return c.set(-3, "08:00") }, "2027-03-27T07:00:00Z"},
		{"an hour that is past", func() error { return c.set(-3, "07:00") }, "2027-03-27T07:00:00Z"},
		{"minutes", func() error { c.wait(90); return nil }, "2027-03-27T08:30:00Z"},
		{"summer time", func() error { return c.set(-2, "08:00") }, "2027-03-28T06:00:00Z"},
		{"the end", func() error { return c.set(0, "11:30") }, "2027-03-30T09:00:00Z"},
		{"beyond the end", func() error { c.wait(1); return nil }, "2027-03-30T09:00:00Z"},
	} {
		if err := step.play(); err != nil || c.now().UTC().Format(time.RFC3339) != step.want {
			t.Errorf("%s: %s, want %s; %v", step.what, c.now().UTC().Format(time.RFC3339), step.want, err)
		}
	}
	if c.today() != "2027-03-30" || c.day(-30) != "2027-02-28" {
		t.Errorf("today %s, a month ago %s", c.today(), c.day(-30))
	}
	if err := c.set(0, "noon"); err == nil {
		t.Error("an hour that is none was taken")
	}
}
