package packed

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// thing has a field of every kind.
type thing struct {
	Count  int
	Wide   int64
	Name   string
	So     bool
	Number float64
	At     time.Time
	List   []float64
	Names  []string
}

func (t *thing) pack(c *Codec) {
	c.Int(&t.Count)
	c.Int64(&t.Wide)
	c.String(&t.Name)
	c.Bool(&t.So)
	c.Float(&t.Number)
	c.Time(&t.At)
	c.Floats(&t.List)
	for i := range Slice(c, &t.Names) {
		c.String(&t.Names[i])
	}
}

func things(t *rapid.T) thing {
	out := thing{
		Count: rapid.Int().Draw(t, "count"), Wide: rapid.Int64().Draw(t, "wide"), Name: rapid.String().Draw(t, "name"), So: rapid.Bool().Draw(t, "so"),
		Number: rapid.Float64().Draw(t, "number"),
	}
	if n := rapid.SliceOf(rapid.Float64()).Draw(t, "list"); len(n) > 0 {
		out.List = n
	}
	if n := rapid.SliceOf(rapid.String()).Draw(t, "names"); len(n) > 0 {
		out.Names = n
	}
	if rapid.Bool().Draw(t, "dated") {
		minutes := rapid.IntRange(-14*60, 14*60).Draw(t, "zone")
		out.At = time.Unix(rapid.Int64Range(-1e9, 1e10).Draw(t, "at"), 0).In(time.FixedZone("", minutes*60))
	}
	return out
}

// Decoding gives the encoded values bit for bit and uses all bytes.
func TestReadsWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := things(t)
		w := Writing(nil)
		want.pack(w)
		var got thing
		r := Reading(string(w.Bytes()))
		if got.pack(r); !r.Done() {
			t.Fatalf("not all was read of %v", want)
		}
		_, is := want.At.Zone()
		if _, was := got.At.Zone(); !got.At.Equal(want.At) || was != is {
			t.Fatalf("time %v, was %v", got.At, want.At)
		}
		if math.Float64bits(got.Number) != math.Float64bits(want.Number) {
			t.Fatalf("number %v, was %v", got.Number, want.Number)
		}
		got.At, want.At = time.Time{}, time.Time{}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%v, was %v", got, want)
		}
	})
}

// Text that is cut short or random is reported as bad, and takes no more memory than
// its length.
func TestBadText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := things(t)
		w := Writing(nil)
		whole.pack(w)
		text := string(w.Bytes())
		r := Reading(text[:rapid.IntRange(0, len(text)-1).Draw(t, "cut")])
		var got thing
		if got.pack(r); r.Done() || !r.Bad() {
			t.Fatalf("%v was read from a part of %v", got, whole)
		}
		r = Reading(string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes")))
		got.pack(r)
	})
	var list []float64
	r := Reading("\xfe\xff\xff\xff\x0f" + strings.Repeat("x", 30))
	if r.Floats(&list); !r.Bad() || len(list) > 0 {
		t.Errorf("%d numbers from a length beyond the text", len(list))
	}
}

// Negative zero, the infinities and NaN keep every bit.
func TestOddNumbers(t *testing.T) {
	for _, v := range []float64{math.Copysign(0, -1), math.Inf(1), math.Inf(-1), math.Float64frombits(0x7ff8000000000123), math.SmallestNonzeroFloat64} {
		w := Writing(nil)
		w.Float(&v)
		var got float64
		if Reading(string(w.Bytes())).Float(&got); math.Float64bits(got) != math.Float64bits(v) {
			t.Errorf("%v became %v", v, got)
		}
	}
}
