package report

import (
	"fmt"
	"slices"
	"strings"

	"ashbook/journal"
)

// Hiding leaves out of cooks what is nobody else's business: prose, words,
// suppliers and eaters' letters. Suppliers and eaters get a number, the same in
// every cook, so that what they are compared by stays.
type Hiding struct{ suppliers, eaters map[string]int }

// NewHiding returns a Hiding that has met nobody.
func NewHiding() *Hiding { return &Hiding{map[string]int{}, map[string]int{}} }

// Cook returns a cook without them; c is left as it is.
func (h *Hiding) Cook(c journal.Cook) journal.Cook {
	c.Prose, c.Keep, c.Change, c.Aside = "", "", "", ""
	if c.Supplier != "" {
		c.Supplier = fmt.Sprint("supplier ", number(h.suppliers, c.Supplier))
	}
	c.Entries = slices.Clone(c.Entries)
	for i := range c.Entries {
		c.Entries[i].Words = ""
		c.Entries[i].Items = slices.Clone(c.Entries[i].Items)
		for k := range c.Entries[i].Items {
			if it := &c.Entries[i].Items[k]; it.Act != journal.AddWood && it.Act != journal.AddFuel {
				it.Detail = ""
			}
		}
	}
	c.Tasting = slices.Clone(c.Tasting)
	for i := range c.Tasting {
		c.Tasting[i].Words = ""
		if c.Tasting[i].Eater != "" {
			c.Tasting[i].Eater = fmt.Sprint(number(h.eaters, c.Tasting[i].Eater))
		}
	}
	return c
}

func number(known map[string]int, name string) int {
	name = strings.ToLower(strings.TrimSpace(name))
	if known[name] == 0 {
		known[name] = len(known) + 1
	}
	return known[name]
}
