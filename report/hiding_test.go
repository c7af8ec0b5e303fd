package report

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
)

// told lists the texts that a private page still shows: names and kinds of things.
var told = []string{
	"ID", "Title", "Cut", "Pit", "Pan", "Pieces.Name", "Pieces.Bone", "Rub.Mix", "Wood.Kind", "Fuel.Kind",
	"Aim.Wrap.Kind", "Entries.Items.Piece", "Entries.Items.Wrap", "Series.Cores.Piece",
}

// fill sets every text of a value to one that names its own field, gives lists one row,
// and sets the act of every item.
func fill(v reflect.Value, path string, act journal.Act) {
	switch v.Kind() {
	case reflect.String:
		v.SetString("secret " + path)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), path, act)
	case reflect.Struct:
		if a, ok := v.Addr().Interface().(*journal.Item); ok {
			a.Act = act
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.PkgPath == "" && !strings.HasPrefix(v.Type().PkgPath(), "time") && !strings.HasSuffix(v.Type().PkgPath(), "measure") {
				fill(v.Field(i), strings.TrimPrefix(path+"."+f.Name, "."), act)
			}
		}
	}
}

// texts returns the paths at which a value still has a text set by fill.
func texts(v reflect.Value) (paths []string) {
	switch v.Kind() {
	case reflect.String:
		if p, ok := strings.CutPrefix(v.String(), "secret "); ok {
			paths = append(paths, p)
		}
	case reflect.Slice:
		for i := range v.Len() {
			paths = append(paths, texts(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			paths = append(paths, texts(v.Field(i))...)
		}
	}
	return paths
}

// A text field added to a cook is hidden unless it is listed in told.
func TestHidingWalksEveryText(t *testing.T) {
	for _, act := range journal.Acts() {
		want := slices.Clone(told)
		if act == journal.AddWood || act == journal.AddFuel { // which wood and fuel is no secret
			want = append(want, "Entries.Items.Detail")
		}
		var c journal.Cook
		fill(reflect.ValueOf(&c).Elem(), "", act)
		hidden := NewHiding().Cook(c)
		got := texts(reflect.ValueOf(hidden))
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("with %s: a private cook shows %q, want %q", act.Word(), got, want)
		}
		if strings.Contains(fmt.Sprint(hidden.Supplier, hidden.Tasting), "secret") {
			t.Errorf("%s %v", hidden.Supplier, hidden.Tasting)
		}
	}
}
