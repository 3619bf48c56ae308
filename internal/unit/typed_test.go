package unit

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestTypedTakesTextAndKeepsABareNumber(t *testing.T) {
	for body, want := range map[string]Typed{
		`"69 bar"`: "69 bar", `69`: "69", `69.50`: "69.50", `-1`: "-1", `null`: "", `""`: "", `1e400`: "1e400", ` "2 min" `: "2 min",
	} {
		got := Typed("left over")
		if err := json.Unmarshal([]byte(body), &got); err != nil || got != want {
			t.Errorf("%s: got %q, %v; want %q", body, got, err, want)
		}
	}
	for _, body := range []string{`true`, `{}`, `["69 bar"]`} {
		var got Typed
		if err := json.Unmarshal([]byte(body), &got); err == nil || !strings.Contains(err.Error(), "text with its unit") {
			t.Errorf("%s: got %q, %v", body, got, err)
		}
	}
}

func TestBareNumberAsksForItsUnit(t *testing.T) {
	var typed Typed
	if err := json.Unmarshal([]byte(`69`), &typed); err != nil {
		t.Fatal(err)
	}
	_, err := ParsePressure(string(typed))
	if e := refused(t, err); !strings.Contains(e.Advice, "say the unit") {
		t.Errorf("the advice is %q", e.Advice)
	}
}
