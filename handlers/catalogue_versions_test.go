package handlers

import (
	"net/http"
	"strings"
	"testing"

	"spanroom/internal/auth"
)

func TestVersionsOnTheirPage(t *testing.T) {
	h := withFurnishings(t)
	h.must(auth.Supervisor, "POST", "/instruments/X-1", `{"name":"yours","model":"MX","place":"BENCH","set_values":[{"component":"CO","set_value":"99 ppm"}],"set_values_confirmed_on":"2026-12-01"}`)
	shows(t, "the thing", h.page(auth.Viewer, "/instruments/X-1").Text, `href="/instruments/X-1/versions">2 versions`)
	page := h.page(auth.Viewer, "/instruments/X-1/versions").Text
	shows(t, "its versions", page, "<h1>Instruments: X-1, versions</h1>", `href="/instruments/X-1?version=1"`, "entered", "supervisor",
		"<li>Name: mine ", " yours</li>", "<li>Set value CO, set value: 98 ppm ", "99 ppm</li>", "<li>Out of service: yes ", "no</li>")
	if strings.Contains(page, "/api/v1") {
		t.Error("it leads to what is for programs")
	}
	old := h.page(auth.Supervisor, "/instruments/X-1?version=1").Text
	shows(t, "an old version", old, "<h1>Instruments: X-1, version 1</h1>", "98 ppm", "<dd>mine</dd>", `href="/instruments/X-1">As it is now`)
	if strings.Contains(old, `id="thing"`) || strings.Contains(old, "yours") {
		t.Error("an old version can be written to, or shows what came later")
	}
	for path, want := range map[string]int{
		"/instruments/X-1?version=3": http.StatusNotFound, "/instruments/X-1?version=x": http.StatusUnprocessableEntity,
		"/instruments/X-9/versions": http.StatusNotFound, "/instruments/X-9?version=1": http.StatusNotFound,
	} {
		if r := h.page(auth.Viewer, path); r.Status != want {
			t.Errorf("%s: %d", path, r.Status)
		}
	}
}

func TestVersionsOfTheSettings(t *testing.T) {
	h := newHarrowmere(t, morning)
	h.must(auth.Supervisor, "POST", "/settings", `{"site_name":"The other house"}`)
	page := h.page(auth.Viewer, "/settings/versions").Text
	shows(t, "the versions", page, "<h1>Settings, versions</h1>", `href="/settings?version=1"`, "Name of the site: ", "The other house</li>")
	shows(t, "an old one", h.page(auth.Viewer, "/settings?version=1").Text, "<h1>Settings, version 1</h1>", `href="/settings">As it is now`)
}

func TestALeadTimeThatNobodyEnteredIsEmpty(t *testing.T) {
	h := newHarrowmere(t, morning)
	if got := h.must(auth.Purchaser, "POST", "/suppliers", `{"code":"newcomer"}`); got["lead_time_days"] != 0.0 {
		t.Errorf("%v", got)
	}
	if got := formOn(t, h.page(auth.Purchaser, "/suppliers/newcomer").Text, "/suppliers/newcomer").values; got["lead_time_days"] != "" || got["lead_time_sd_days"] != "0" {
		t.Errorf("%v", got)
	}
	h.must(auth.Purchaser, "POST", "/suppliers/newcomer", `{"lead_time_days":21}`)
	shows(t, "its versions", h.page(auth.Viewer, "/suppliers/newcomer/versions").Text, "Lead time, days: nothing ", " 21</li>")
}
