package views

import "strings"

// shapes tell the severities apart without colour.
var shapes = map[string]string{"stop": "■", "ask": "◆", "note": "●", "ready": "✓"}

// shape gives the mark of a severity; what is not known looks like a note.
func shape(severity any) string {
	if s, ok := shapes[text(severity)]; ok {
		return s
	}
	return shapes["note"]
}

// words gives the person's own terms for the codes of the program, where an underscore turned into a space does not.
var words = map[string]string{
	"sealed":      "unopened",
	"opened":      "part used",
	"limited":     "usable with limits",
	"do_not_use":  "do not use",
	"excess":      "more gas used than logged",
	"short":       "less gas used than logged",
	"unchanged":   "pressure unchanged",
	"computed":    "computed from logged tests",
	"fill":        "fill specification",
	"analysis":    "certificate of analysis",
	"conformity":  "certificate of conformity",
	"short_dated": "short-dated",
	"bump":        "bump test",
	"check":       "calibration check",
	"line":        "sample-line check",
	"fixed":       "fixed flow",
	"demand":      "demand flow",
}

// severity gives the mark that goes with a readiness.
func severity(readiness any) string {
	switch text(readiness) {
	case "usable":
		return "ready"
	case "limited":
		return "ask"
	default:
		return "stop"
	}
}

// word says a code of the program in words.
func word(code any) string {
	if w, ok := words[text(code)]; ok {
		return w
	}
	return strings.ReplaceAll(text(code), "_", " ")
}
