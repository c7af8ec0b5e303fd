package frame

import (
	"reflect"
	"testing"

	"ashbook/journal"
	"ashbook/journal/packed"
)

// packedAgain packs and unpacks a cook.
func packedAgain(t *testing.T, k *Kept, c *Cook, whole func() *journal.Cook) *Cook {
	t.Helper()
	w := packed.Writing(nil)
	k.Pack(w, c, whole)
	out, r := new(Cook), packed.Reading(string(w.Bytes()))
	if k.Pack(r, out, whole); !r.Done() {
		t.Fatal("not all that was packed was read")
	}
	return out
}

// A packed cook has the same values in the kept columns and fields as before, without
// reading its file.
func TestPackedCookIsTheSame(t *testing.T) {
	extra := Column{Name: "entries", Kind: Count, Of: func(c *journal.Cook) Value { return count(len(c.Entries), true) }}
	k := Keep(extra)
	for name, c := range map[string]*journal.Cook{"with everything noted": wholeCook(t), "with nothing noted": {ID: "2026-05-01-x"}} {
		c.Change, c.Title = "on earlier", "Harvest supper"
		want := Of(c)
		for _, got := range []*Cook{packedAgain(t, k, Of(c), nil), packedAgain(t, k, packedAgain(t, k, Of(c), nil), nil)} {
			for _, col := range append(Columns, extra) {
				if v := got.Of(col); v != want.Of(col) {
					t.Errorf("%s, %s: %v, expected %v", name, col.Name, v, want.Of(col))
				}
			}
			took, ok := got.Took()
			if wasTook, was := c.Took(); took != wasTook || ok != was {
				t.Errorf("%s took %v %v, expected %v %v", name, took, ok, wasTook, was)
			}
			if !got.Date.Equal(want.Date) || !got.Off.Equal(want.Off) || !reflect.DeepEqual(got.Tasting, want.Tasting) {
				t.Errorf("%s: %v %v %v, expected %v %v %v", name, got.Date, got.Off, got.Tasting, want.Date, want.Off, want.Tasting)
			}
			if got.ID != want.ID || got.Name != want.Name || got.Cut != want.Cut || got.Pit != want.Pit || got.Change != want.Change {
				t.Errorf("%s: %+v, expected %+v", name, got, want)
			}
		}
	}
}

// The value of a column that is not kept is read from the cook's file, once; it is not
// known if the file is gone.
func TestColumnThatIsNotStored(t *testing.T) {
	c := wholeCook(t)
	asked := 0
	other := Column{Name: "entries", Kind: Count, Of: func(c *journal.Cook) Value { return count(len(c.Entries), true) }}
	got := packedAgain(t, Keep(), Of(c), func() *journal.Cook { asked++; return c })
	for range 3 {
		if v := got.Of(other); v != other.Of(c) || asked != 1 {
			t.Errorf("%v after reading it %d times, expected %v", v, asked, other.Of(c))
		}
	}
	if v := packedAgain(t, Keep(), Of(c), func() *journal.Cook { return nil }).Of(other); v.Known {
		t.Errorf("%v of a cook that is gone", v)
	}
}
