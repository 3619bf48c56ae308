package stock

import (
	"fmt"
	"math"
	"strings"

	"spanroom/internal/gas"
	"spanroom/models"
)

// TestsLeft is how many tests of one procedure are left in a cylinder after one purge. It never goes without its interval (R12).
type TestsLeft struct {
	Procedure string  `json:"procedure"`
	Name      string  `json:"name"`
	Purpose   Purpose `json:"purpose"`
	Expected  int     `json:"expected"`
	Low       int     `json:"low"`
	High      int     `json:"high"`
	Words     string  `json:"words"` // "about 66 bumps (at least 58)"
}

// testsLeft counts the tests of a procedure with the regulator set of a need, or with the procedure's own flow where none is named. Where
// pressure does not tell what is in the cylinder there is no count.
func (v *view) testsLeft(c cylinder, p models.Procedure, n need) (TestsLeft, bool) {
	n.purpose = Purpose(p.Purpose)
	now := v.contents(c, n.purpose, n.minimumInlet())
	if now.err != nil {
		return TestsLeft{}, false
	}
	return v.testsIn(without(now.Usable, n.purgeOf(p)), p, n), true
}

// testsIn counts the tests of a procedure that an amount of gas serves.
func (v *view) testsIn(u gas.Usable, p models.Procedure, n need) TestsLeft {
	tests := u.Tests(n.draw(p, v.settings.FlowLimitPct))
	return TestsLeft{
		Procedure: p.Code, Name: p.Name, Purpose: Purpose(p.Purpose), Expected: tests.Expected, Low: tests.Low, High: tests.High,
		Words: aboutTests(Purpose(p.Purpose), tests),
	}
}

// without takes away gas that is spent before the first test.
func without(u gas.Usable, litres float64) gas.Usable {
	u.Litres, u.High, u.Worst, u.Best = u.Litres-litres, u.High-litres, u.Worst-litres, u.Best-litres
	u.Low = math.Max(0, u.Low-litres)
	return u
}

func aboutTests(p Purpose, tests gas.Tests) string {
	word := p.word()
	if tests.Expected == 1 {
		word = strings.TrimSuffix(word, "s")
	}
	return fmt.Sprintf("about %d %s (at least %d)", tests.Expected, word, tests.Low)
}
