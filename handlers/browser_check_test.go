package handlers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"spanroom/internal/demo"
)

// technicianChecks goes through the gas and fittings check on a phone with keys alone: a usual round, its verdict, a set that a
// rule stops, another cylinder that a reason is asked for, and the check of what is in the hand.
func technicianChecks(t *testing.T, b *browser) {
	_, address := b.house(t)
	v := b.visit(t, address, phone)
	v.open("/")
	v.tabTo(boxNamed("name"))
	v.keys("technician A" + kb.Tab + demo.Password)
	v.enter()
	v.tabTo(`.ways a[href="/checkouts/new"]`)
	v.enter()
	v.tabTo(usualRound)
	v.enter()
	tag := lookAtPick(v)
	v.says(".pick", "compared with instruments", "with R-")
	v.says(".kit-facts", "outlet", "CGA C-10", "last gas")

	wrongSet(v)
	v.says("#take", "It is not to be taken like this")
	v.choose("regulator", "R-03")
	v.tabTo(`button[form="take"]`)
	v.enter()
	if got := lookAtPick(v); got != tag {
		t.Errorf("with the right set %s is shown in place of %s", got, tag)
	}

	later := askedAbout(v)
	v.tabTo(boxNamed("reasons.R16"))
	v.keys("the others are blocked in")
	v.tabTo("#take button.main")
	v.enter()
	v.says("h1", "In use", later)
	v.unfold("main details:has(.verdicts)")
	v.says("main", "R16: the others are blocked in")
	v.look("in use for a reason")

	v.open("/checkouts/new")
	v.tabTo(`main a[href="/check"]`)
	v.enter()
	v.look("check, empty")
	checksTheHand(v, tag, later)
}

// wrongSet checks the pick with a regulator for ammonia: the rule says what, why and what to do, and nothing can be taken.
func wrongSet(v *visitor) {
	v.t.Helper()
	v.tabTo(".acts summary")
	v.keys(kb.Enter)
	v.choose("regulator", "R-05")
	v.tabTo(`button[form="take"]`)
	v.enter()
	v.says("li.stop", "stop", "R-05", "was last used on NH3", "take one that")
	if v.count("button.main") != 0 {
		v.t.Error("a rule stops it, and there is a button to take it")
	}
	if first := say[string](v, `document.querySelector(".pick .verdicts > li").className`); first != "stop" {
		v.t.Errorf("%s comes first", first)
	}
	v.look("a stop")
}

// choose selects what begins with these letters by typing them.
func (v *visitor) choose(field, letters string) {
	v.t.Helper()
	v.tabTo(boxNamed(field))
	v.keys(letters)
	if got := v.value(field); got != letters {
		v.t.Errorf("%s is %q after typing %q", field, got, letters)
	}
}

// askedAbout chooses a cylinder that expires later than the pick, and looks at the question about it.
func askedAbout(v *visitor) (tag string) {
	v.t.Helper()
	v.tabTo(".acts details:nth-of-type(2) summary")
	v.keys(kb.Enter)
	v.tabTo(`.acts details:nth-of-type(2) li:last-child button`)
	v.enter()
	tag = say[string](v, `document.querySelector("p.figure").textContent.trim()`)
	v.says("li.ask", "expires sooner", "Reason to go on")
	if of := say[string](v, fmt.Sprintf(`document.querySelector(%s).closest("li").dataset.rule`, quoted(boxNamed("reasons.R16")))); of != "R16" {
		v.t.Errorf("the reason stands with %s", of)
	}
	v.look("an ask")
	return tag
}

// checksTheHand types what somebody holds, and reads what the rules say of it; the right regulator went out with another cylinder.
func checksTheHand(v *visitor, tag, out string) {
	v.t.Helper()
	v.keys(tag)
	v.tabTo(boxNamed("regulator"))
	v.keys("R-05")
	v.tabTo(boxNamed("tubing"))
	v.keys("T-04")
	v.tabTo(boxNamed("instruments"))
	v.keys("D-001, D-002")
	v.tabTo("main button.main")
	v.enter()
	v.says("li.stop", "was last used on NH3")
	v.look("check with stops")
	if v.count("main .main") != 0 {
		v.t.Error("a rule stops it, and there is a way to take it")
	}
	v.open("/check?cylinder=" + tag + "&purpose=bump&instruments=D-001&regulator=R-03")
	v.says(".verdicts", "it went out on "+out, "check that you hold the right one")
	v.tabTo("a.button.main")
	v.look("check with a note")
	v.enter()
	if at := say[string](v, `location.pathname`); !strings.HasPrefix(at, "/checkouts/new") || v.count("#take button.main") != 1 {
		v.t.Errorf("the check leads to %s", at)
	}
}
