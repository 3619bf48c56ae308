package main

import (
	"fmt"
	"runtime/debug"

	"github.com/alecthomas/kong"
)

type versionCommand struct{}

// Run prints the version.
func (versionCommand) Run(p *Program) error {
	_, err := fmt.Fprintln(p.Out, version())
	return err
}

// versionFlag is the same by --version, whatever else is asked.
type versionFlag bool

// BeforeReset prints the version and ends the run.
func (versionFlag) BeforeReset(k *kong.Kong) error {
	fmt.Fprintln(k.Stdout, version())
	return errShown
}

func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "spanroom, built without a version"
	}
	return describe(info)
}

// describe tells the version and, where it was built from a checkout, the commit.
func describe(info *debug.BuildInfo) string {
	text := fmt.Sprintf("spanroom %s, %s", info.Main.Version, info.GoVersion)
	built := map[string]string{}
	for _, s := range info.Settings {
		built[s.Key] = s.Value
	}
	if commit := built["vcs.revision"]; commit != "" {
		text += ", commit " + commit[:min(12, len(commit))]
	}
	if built["vcs.modified"] == "true" {
		text += " with changes"
	}
	return text
}
