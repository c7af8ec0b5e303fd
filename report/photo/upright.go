package photo

import (
	"bytes"
	"encoding/binary"
	"image"
)

// turning is the orientation of a picture in its file, 1 to 8 (Exif 2.32, tag 0x0112).
type turning int

// upright means that the picture needs no turning.
const upright turning = 1

const (
	orientationTag = 0x0112
	shortType      = 3
)

// orientation reads the orientation of a JPEG from its Exif part. It is upright if that
// is missing or damaged.
func orientation(data []byte) turning {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker := data[at+1]
		if marker == 0xff { // fill bytes
			at++
			continue
		}
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + size
		if marker == 0xda || size < 2 || end > len(data) {
			break
		}
		if exif, ok := bytes.CutPrefix(data[at+4:end], []byte("Exif\x00\x00")); ok && marker == 0xe1 {
			return tiffOrientation(exif)
		}
		at = end
	}
	return upright
}

// tiffOrientation reads the orientation tag from the first directory of a TIFF (TIFF
// 6.0, section 2).
func tiffOrientation(b []byte) turning {
	if len(b) < 8 {
		return upright
	}
	var order binary.ByteOrder = binary.BigEndian
	if string(b[:2]) == "II" {
		order = binary.LittleEndian
	}
	first := uint64(order.Uint32(b[4:]))
	if first+2 > uint64(len(b)) {
		return upright
	}
	n := int(order.Uint16(b[first:]))
	for entries := b[first+2:]; n > 0 && len(entries) >= 12; n-- {
		if order.Uint16(entries) == orientationTag && order.Uint16(entries[2:]) == shortType {
			if v := turning(order.Uint16(entries[8:])); v >= 1 && v <= 8 {
				return v
			}
			return upright
		}
		entries = entries[12:]
	}
	return upright
}

// turn returns the picture turned upright.
func (t turning) turn(m *image.RGBA) *image.RGBA {
	if t == upright {
		return m
	}
	w, h := m.Bounds().Dx(), m.Bounds().Dy()
	size := image.Pt(w, h)
	if t >= 5 {
		size = image.Pt(h, w)
	}
	out := image.NewRGBA(image.Rectangle{Max: size})
	for y := range h {
		for x := range w {
			p := [...]image.Point{
				1: {x, y}, 2: {w - 1 - x, y}, 3: {w - 1 - x, h - 1 - y}, 4: {x, h - 1 - y},
				5: {y, x}, 6: {h - 1 - y, x}, 7: {h - 1 - y, w - 1 - x}, 8: {y, w - 1 - x},
			}[t]
			out.SetRGBA(p.X, p.Y, m.RGBAAt(x, y))
		}
	}
	return out
}
