package main

import (
	"runtime"
	"runtime/debug"
	"testing"
)

func TestVersion(t *testing.T) {
	asCommand, asFlag := must(t, "version").out, must(t, "--version").out
	if asCommand != asFlag {
		t.Errorf("version says %q, --version says %q", asCommand, asFlag)
	}
	if want := runtime.Version() + "\n"; len(asCommand) < len(want) || asCommand[len(asCommand)-len(want):] != want {
		t.Errorf("%q does not end in %q", asCommand, want)
	}
}

func TestDescribe(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v0.3.0"}}
	if got, want := describe(info), "spanroom v0.3.0, go1.26.8"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	info.Settings = []debug.BuildSetting{{Key: "vcs.revision", Value: "0123456789abcdef"}, {Key: "vcs.modified", Value: "true"}}
	if got, want := describe(info), "spanroom v0.3.0, go1.26.8, commit 0123456789ab with changes"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
