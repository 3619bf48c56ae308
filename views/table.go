package views

import "fmt"

// columnPart is one column of a table: its sort key ("" where it cannot be sorted), its head and its class.
type columnPart struct{ Key, Head, Class string }

// headPart is one cell of a table's head.
type headPart struct {
	columnPart
	Href   string
	Sorted string // ascending, descending or ""
}

func newColumn(key, head any, class ...string) (columnPart, error) {
	c := columnPart{Key: text(key), Head: text(head)}
	switch len(class) {
	case 0:
	case 1:
		c.Class = class[0]
	default:
		return c, fmt.Errorf("column %s: one class, not %d", c.Head, len(class))
	}
	return c, nil
}

// newTable makes the head of a table. The query's sort names the column, with a minus for descending; a column's link sorts
// by it, and turns it round where it is sorted already.
func newTable(p Page, columns ...columnPart) ([]headPart, error) {
	sorted := p.query("sort")
	heads := make([]headPart, len(columns))
	for i, c := range columns {
		heads[i].columnPart = c
		if c.Key == "" {
			continue
		}
		next := c.Key
		switch sorted {
		case c.Key:
			heads[i].Sorted, next = "ascending", "-"+c.Key
		case "-" + c.Key:
			heads[i].Sorted = "descending"
		}
		var err error
		if heads[i].Href, err = p.here("sort", next, "after", ""); err != nil {
			return nil, err
		}
	}
	return heads, nil
}

// pagerPart leads to the next rows of a list and back to its start.
type pagerPart struct{ Next, Start string }

// newPager takes what the answer calls Next: empty or zero on the last page.
func newPager(p Page, next any) (pagerPart, error) {
	var to pagerPart
	var err error
	if r := plain(next); r.IsValid() && !r.IsZero() {
		if to.Next, err = p.here("after", next); err != nil {
			return to, err
		}
	}
	if p.query("after") != "" {
		to.Start, err = p.here("after", "")
	}
	return to, err
}
