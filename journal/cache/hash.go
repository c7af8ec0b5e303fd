package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"reflect"
	"slices"
	"time"
)

// hasher hashes values. It includes the length of each value where that is not fixed, so
// that different lists of values of the same types give different bytes.
type hasher struct{ hash.Hash }

func newHasher() hasher { return hasher{sha256.New()} }

func (h hasher) number(n uint64) {
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], n)
	h.Write(b[:])
}

func (h hasher) string(s string) {
	h.number(uint64(len(s)))
	h.Write([]byte(s))
}

// time hashes the time and its offset from UTC but not the name of its zone.
func (h hasher) time(t time.Time) {
	_, offset := t.Zone()
	h.number(uint64(t.Unix()))
	h.number(uint64(t.Nanosecond())<<32 | uint64(uint32(offset)))
}

// value hashes v and everything in it.
func (h hasher) value(v any) { h.reflected(reflect.ValueOf(v)) }

var timeType = reflect.TypeFor[time.Time]()

func (h hasher) reflected(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		n := uint64(0)
		if v.Bool() {
			n = 1
		}
		h.number(n)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		h.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		h.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		h.number(math.Float64bits(v.Float()))
	case reflect.String:
		h.string(v.String())
	case reflect.Slice, reflect.Array:
		h.number(uint64(v.Len()))
		for i := range v.Len() {
			h.reflected(v.Index(i))
		}
	case reflect.Map: // sorted, since a map has no order
		sums := make([][]byte, 0, v.Len())
		for key, of := range v.Seq2() {
			one := newHasher()
			one.reflected(key)
			one.reflected(of)
			sums = append(sums, one.Sum(nil))
		}
		slices.SortFunc(sums, bytes.Compare)
		h.number(uint64(len(sums)))
		h.Write(bytes.Join(sums, nil))
	case reflect.Struct:
		if v.Type() == timeType {
			h.time(v.Interface().(time.Time))
			return
		}
		for i := range v.NumField() {
			h.reflected(v.Field(i))
		}
	case reflect.Interface, reflect.Pointer:
		if v.IsNil() {
			h.number(0)
			return
		}
		h.number(1)
		h.reflected(v.Elem())
	default:
		panic(fmt.Sprintf("cache: nothing can depend on a %s", v.Type()))
	}
}
