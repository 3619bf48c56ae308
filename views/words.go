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
	"sealed":            "unopened",
	"opened":            "part used",
	"limited":           "usable with limits",
	"do_not_use":        "do not use",
	"excess":            "more gas used than logged",
	"short":             "less gas used than logged",
	"unchanged":         "pressure unchanged",
	"computed":          "computed from logged tests",
	"fill":              "fill specification",
	"analysis":          "certificate of analysis",
	"conformity":        "certificate of conformity",
	"short_dated":       "short-dated",
	"bump":              "bump test",
	"check":             "calibration check",
	"line":              "sample-line check",
	"zero":              "zero setting",
	"fixed":             "fixed flow",
	"demand":            "demand flow",
	"multiplier":        "multiplier from the cylinder's gas",
	"true_reading":      "true is the reading times it",
	"relative_response": "response, shown gas over cylinder's",
	"0C_1atm":           "0 °C and 1 atm",
	"15C_1atm":          "15 °C and 1 atm",
	"20C_1atm":          "20 °C and 1 atm",
	"70F_1atm":          "70 °F and 1 atm",
	"15C_1bar":          "15 °C and 1 bar",
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
func word(code any) string { return strings.ReplaceAll(known(code), "_", " ") }

// known is word for what may also be a text of the site: that stays as it stands.
func known(code any) string {
	if w, ok := words[text(code)]; ok {
		return w
	}
	return text(code)
}
