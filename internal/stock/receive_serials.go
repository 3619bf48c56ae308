package stock

import (
	"fmt"

	"spanroom/internal/problem"
	"spanroom/models"
)

// shells looks at serials that were seen before (R3). The serial of a refillable is that of its shell, which comes back with
// a new fill once the old one is gone; that of a non-refillable may be a number of the carton.
func (k known) shells(d delivery) []problem.Finding {
	var found []problem.Finding
	here := map[string]int{}
	for _, c := range d.cylinders {
		if here[c.serial]++; c.serial != "" && here[c.serial] == 1 {
			found = append(found, k.shell(d.item, c.serial)...)
		}
	}
	for _, c := range d.cylinders {
		n := here[c.serial]
		if c.serial == "" || n < 2 {
			continue
		}
		here[c.serial] = 0 // told once
		text := fmt.Sprintf("%d cylinders of this delivery have this serial", n)
		if d.item.Refillable {
			found = append(found, aboutSerial(problem.Stop, c.serial, text, "read the stamped number of each shell again"))
			continue
		}
		found = append(found, aboutSerial(problem.Ask, c.serial, text, "a number shared by the carton? leave it blank"))
	}
	return found
}

func (k known) shell(item models.Item, serial string) []problem.Finding {
	fills := k.serials[serial]
	if len(fills) == 0 {
		return nil
	}
	last := fills[len(fills)-1]
	if !item.Refillable {
		return []problem.Finding{aboutSerial(problem.Ask, serial, fmt.Sprintf("this serial was seen before, on %s (%s)", last.Tag, last.Stage),
			"a number shared by the carton? leave it blank")}
	}
	for _, fill := range fills {
		if fill.Stage != Gone {
			return []problem.Finding{aboutSerial(problem.Stop, serial, fmt.Sprintf("this shell is still here as %s (%s)", fill.Tag, fill.Stage),
				"book the return of the old fill to the supplier first, or read the stamped number again")}
		}
	}
	return []problem.Finding{aboutSerial(problem.Note, serial, fmt.Sprintf("this shell was here before as %s: a new fill under a new tag", last.Tag),
		"its earlier fills are found by the serial")}
}

func aboutSerial(s problem.Severity, serial, text, advice string) problem.Finding {
	return problem.Finding{Rule: "R3", Severity: s, Subject: "serial " + serial, Text: text, Advice: advice}
}
