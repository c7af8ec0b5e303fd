package pitbook

import (
	"reflect"
	"testing"

	"ashbook/journal/packed"
)

// A cook is the same after packing and unpacking, to the last bit.
func TestPackedCookIsTheSame(t *testing.T) {
	lids := 0
	for _, c := range ReadAll(generated(3, 30, .5), filed) {
		lids += len(c.Lids)
		w := packed.Writing(nil)
		c.Pack(w)
		var got Cook
		r := packed.Reading(string(w.Bytes()))
		if got.Pack(r); !r.Done() || !reflect.DeepEqual(got, c) {
			t.Errorf("%+v, was %+v", got, c)
		}
	}
	if lids == 0 {
		t.Error("no cook has a lid that was read")
	}
}
