// Package packed encodes values into few bytes and decodes them: numbers in as few
// bytes as they need, text with its length. One list of fields serves for both, so that
// they always agree. The bytes have no field names, so only the build that wrote them
// can read them.
package packed

import (
	"encoding/binary"
	"math"
	"time"
)

// Codec encodes or decodes values. Strings it decodes share the memory of the text.
type Codec struct {
	writing bool
	out     []byte
	text    string
	bad     bool
	zones   map[int]*time.Location
}

// Writing returns a Codec that encodes and appends to out.
func Writing(out []byte) *Codec { return &Codec{writing: true, out: out} }

// Reading returns a Codec that decodes text.
func Reading(text string) *Codec { return &Codec{text: text} }

// Writes reports whether the Codec encodes.
func (c *Codec) Writes() bool { return c.writing }

// Bytes returns the encoded bytes.
func (c *Codec) Bytes() []byte { return c.out }

// Bad reports whether the text was damaged. Then everything decoded after the damage is
// zero.
func (c *Codec) Bad() bool { return c.bad }

// Done reports whether all of the text was decoded without damage.
func (c *Codec) Done() bool { return !c.bad && c.text == "" }

func (c *Codec) fail() { c.bad, c.text = true, "" }

// Int64 encodes or decodes a whole number, seven bits a byte, with the sign in the
// lowest bit. That is the format of encoding/binary, which cannot read from a string.
func (c *Codec) Int64(v *int64) {
	if c.writing {
		c.out = binary.AppendVarint(c.out, *v)
		return
	}
	var u uint64
	for i := 0; i < len(c.text) && i < binary.MaxVarintLen64; i++ {
		b := c.text[i]
		u |= uint64(b&0x7f) << (7 * i)
		if b < 0x80 {
			c.text = c.text[i+1:]
			*v = int64(u>>1) ^ -int64(u&1)
			return
		}
	}
	c.fail()
	*v = 0
}

// Int does what Int64 does, for an int.
func (c *Codec) Int(v *int) {
	wide := int64(*v)
	c.Int64(&wide)
	*v = int(wide)
}

// Length encodes or decodes the number of values that follow, as Int does. The number
// cannot exceed the number of bytes left.
func (c *Codec) Length(v *int) {
	c.Int(v)
	if !c.writing && (*v < 0 || *v > len(c.text)) {
		c.fail()
		*v = 0
	}
}

// String encodes or decodes a text as its length and its bytes.
func (c *Codec) String(v *string) {
	n := len(*v)
	c.Length(&n)
	if c.writing {
		c.out = append(c.out, *v...)
		return
	}
	*v, c.text = c.text[:n], c.text[n:]
}

// Bool encodes or decodes a truth value as one byte.
func (c *Codec) Bool(v *bool) {
	n := 0
	if *v {
		n = 1
	}
	c.Int(&n)
	*v = n != 0
}

// Float encodes or decodes a number with every bit, in at most eight bytes.
func (c *Codec) Float(v *float64) {
	if c.writing {
		c.out = binary.LittleEndian.AppendUint64(c.out, math.Float64bits(*v))
		return
	}
	if len(c.text) < 8 {
		c.fail()
		*v = 0
		return
	}
	var bits uint64
	for i := range 8 {
		bits |= uint64(c.text[i]) << (8 * i)
	}
	*v, c.text = math.Float64frombits(bits), c.text[8:]
}

// Floats encodes or decodes a list of numbers, each as Float does; an empty list is
// decoded as nil.
func (c *Codec) Floats(v *[]float64) {
	for i := range Slice(c, v) {
		c.Float(&(*v)[i])
	}
}

// Time encodes or decodes a time to the second and its offset from UTC to the minute,
// but not the zone's name. The zero time stays zero.
func (c *Codec) Time(v *time.Time) {
	sec, offset := int64(0), 0
	if !v.IsZero() {
		_, offset = v.Zone()
		sec, offset = v.Unix(), offset/60+1<<16
	}
	c.Int64(&sec)
	c.Int(&offset)
	if !c.writing {
		*v = time.Time{}
		if offset != 0 {
			*v = time.Unix(sec, 0).In(c.zone(offset - 1<<16))
		}
	}
}

// zone returns the zone with that offset from UTC in minutes.
func (c *Codec) zone(minutes int) *time.Location {
	if minutes == 0 {
		return time.UTC
	}
	if z, ok := c.zones[minutes]; ok {
		return z
	}
	if c.zones == nil {
		c.zones = map[int]*time.Location{}
	}
	c.zones[minutes] = time.FixedZone("", minutes*60)
	return c.zones[minutes]
}

// Slice encodes or decodes the length of a list, makes it that long, and returns it.
// The caller then encodes or decodes its values.
func Slice[T any](c *Codec, v *[]T) []T {
	n := len(*v)
	c.Length(&n)
	if !c.writing {
		*v = nil
		if n > 0 {
			*v = make([]T, n)
		}
	}
	return *v
}
