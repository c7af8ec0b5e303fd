package report

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"ashbook/journal"
)

// Hiding removes private texts from cooks: prose, remarks, suppliers and eaters'
// letters. Suppliers and eaters become numbers, the same in every cook, so that cooks
// can still be compared by them.
type Hiding struct{ suppliers, eaters map[string]int }

// NewHiding returns a Hiding with no names numbered yet.
func NewHiding() *Hiding { return &Hiding{map[string]int{}, map[string]int{}} }

// shown lists the texts that stay: names and kinds of things. All other texts are
// hidden, including those of fields added later.
var shown = []string{
	"ID", "Title", "Cut", "Pit", "Pan", "Pieces.Name", "Pieces.Bone", "Rub.Mix", "Wood.Kind", "Fuel.Kind",
	"Aim.Wrap.Kind", "Entries.Items.Piece", "Entries.Items.Wrap", "Series.Cores.Piece",
}

// Cook returns a copy of c without private texts.
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

// hide empties every text below v that is not in shown, copying the lists it changes.
// Times and quantities have no texts to hide.
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
		if ok && (it.Act == journal.AddWood || it.Act == journal.AddFuel) { // the kind of wood or fuel is not private
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
