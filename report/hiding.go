package report

import (
	"fmt"
	"reflect"
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

// shown are the texts of a cook that anybody may read: what things are called, and of
// which kind they are. Every other text is hidden, those of fields to come too.
var shown = []string{
	"ID", "Title", "Cut", "Pit", "Pan", "Pieces.Name", "Pieces.Bone", "Rub.Mix", "Wood.Kind", "Fuel.Kind",
	"Aim.Wrap.Kind", "Entries.Items.Piece", "Entries.Items.Wrap", "Series.Cores.Piece",
}

// Cook returns a cook without them; c is left as it is.
func (h *Hiding) Cook(c journal.Cook) journal.Cook {
	was := c
	hide(reflect.ValueOf(&c).Elem(), "")
	if was.Supplier != "" {
		c.Supplier = fmt.Sprint("supplier ", number(h.suppliers, was.Supplier))
	}
	for i := range c.Tasting {
		if eater := was.Tasting[i].Eater; eater != "" {
			c.Tasting[i].Eater = fmt.Sprint(number(h.eaters, eater))
		}
	}
	return c
}

// hide empties every text below v that is not shown, in copies of its lists. Times and
// quantities hold nothing but themselves.
func hide(v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.String:
		if !slices.Contains(shown, path) {
			v.SetString("")
		}
	case reflect.Slice:
		if k := v.Type().Elem().Kind(); k != reflect.String && k != reflect.Struct {
			return
		}
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
		for i := range v.Len() {
			hide(v.Index(i), path)
		}
	case reflect.Struct:
		if v.Type().PkgPath() != reflect.TypeFor[journal.Cook]().PkgPath() {
			return
		}
		it, ok := v.Interface().(journal.Item)
		for i := range v.NumField() {
			if !v.Type().Field(i).IsExported() {
				continue
			}
			hide(v.Field(i), strings.TrimPrefix(path+"."+v.Type().Field(i).Name, "."))
		}
		if ok && (it.Act == journal.AddWood || it.Act == journal.AddFuel) { // which, is no secret
			v.Addr().Interface().(*journal.Item).Detail = it.Detail
		}
	}
}

func number(known map[string]int, name string) int {
	name = strings.ToLower(strings.TrimSpace(name))
	if known[name] == 0 {
		known[name] = len(known) + 1
	}
	return known[name]
}
