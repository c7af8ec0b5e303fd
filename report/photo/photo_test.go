package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
)

// corners returns a picture with four coloured quarters: red and green above, blue and
// white below.
func corners(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := [2][2]color.RGBA{{{R: 255, A: 255}, {G: 255, A: 255}}, {{B: 255, A: 255}, {255, 255, 255, 255}}}[min(1, 2*y/h)][min(1, 2*x/w)]
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

// near returns the name of the closest of these colours.
func near(c color.Color) string {
	r, g, b, _ := c.RGBA()
	switch high := [3]bool{r > 0x8000, g > 0x8000, b > 0x8000}; high {
	case [3]bool{true, false, false}:
		return "red"
	case [3]bool{false, true, false}:
		return "green"
	case [3]bool{false, false, true}:
		return "blue"
	case [3]bool{true, true, true}:
		return "white"
	}
	return "?"
}

func encoded(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const place = "51.5 north, by the mill"

// withExif inserts an Exif part with an orientation and a place into a JPEG.
func withExif(data []byte, order binary.AppendByteOrder, value uint16) []byte {
	tiff := []byte("MM")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		tiff = []byte("II")
	}
	tiff = order.AppendUint16(tiff, 42)
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	tiff = append(order.AppendUint32(order.AppendUint16(order.AppendUint16(tiff, 0x010f), 2), 4), "Cam\x00"...)
	tiff = order.AppendUint16(order.AppendUint32(order.AppendUint16(order.AppendUint16(tiff, 0x0112), 3), 1), value)
	tiff = append(tiff, 0, 0)
	tiff = append(order.AppendUint32(tiff, 0), place...)
	part := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(part)+2))
	return append(append(head, part...), data[2:]...)
}

// Every orientation is turned upright. Where the first row and column of the file must
// appear is from the table of Exif 2.32, tag 0x0112.
func TestUpright(t *testing.T) {
	for value, seen := range map[uint16][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	} {
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			p, err := Prepare(t.Context(), "x", withExif(encoded(t, corners(64, 32)), order, value))
			if err != nil {
				t.Fatal(err)
			}
			m, err := jpeg.Decode(bytes.NewReader(p.JPEG))
			if err != nil {
				t.Fatal(err)
			}
			if w, h := m.Bounds().Dx(), m.Bounds().Dy(); w != p.Width || h != p.Height || (w > h) != (value < 5) {
				t.Errorf("%d: %d × %d, said %d × %d", value, w, h, p.Width, p.Height)
			}
			opposite := map[string]string{"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
			for name, at := range map[string][2]string{
				"red": seen, "green": {seen[0], opposite[seen[1]]}, "blue": {opposite[seen[0]], seen[1]}, "white": {opposite[seen[0]], opposite[seen[1]]},
			} {
				x, y := p.Width/4, p.Height/4
				for _, side := range at {
					switch side {
					case "right":
						x = p.Width - 1 - p.Width/4
					case "bottom":
						y = p.Height - 1 - p.Height/4
					}
				}
				if got := near(m.At(x, y)); got != name {
					t.Errorf("%d: %s at %v is %s", value, name, at, got)
				}
			}
			if bytes.Contains(p.JPEG, []byte("Exif")) || bytes.Contains(p.JPEG, []byte(place)) || bytes.Contains(p.JPEG, []byte("Cam")) {
				t.Errorf("%d: the file still has metadata", value)
			}
		}
	}
}

// An orientation that cannot be read counts as upright and never fails.
func FuzzOrientation(f *testing.F) {
	whole := withExif(encoded(f, corners(8, 8)), binary.BigEndian, 6)
	for n := range 48 {
		f.Add(whole[:n])
	}
	f.Add(withExif(encoded(f, corners(8, 8)), binary.LittleEndian, 9))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if v := orientation(data); v < 1 || v > 8 {
			t.Errorf("orientation %d", v)
		}
	})
}

func noise(w, h int) *image.RGBA {
	m, r := image.NewRGBA(image.Rect(0, 0, w, h)), rand.NewChaCha8([32]byte{1})
	r.Read(m.Pix)
	return m
}

// Every file format is read and made small: 1,200 px on the longer side, few bytes even
// for noise.
func TestSmall(t *testing.T) {
	var asPNG, asGIF bytes.Buffer
	clear := image.NewNRGBA(image.Rect(0, 0, 20, 10))
	if err := png.Encode(&asPNG, clear); err != nil {
		t.Fatal(err)
	}
	if err := gif.Encode(&asGIF, corners(300, 200), nil); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		data []byte
		w, h int
	}{
		"noise":        {encoded(t, noise(1500, 1200)), 0, 0},
		"a large JPEG": {encoded(t, corners(3000, 2000)), 1200, 800},
		"a tall JPEG":  {encoded(t, corners(600, 2400)), 300, 1200},
		"a thin JPEG":  {encoded(t, corners(9000, 2)), 1200, 1},
		"a clear PNG":  {asPNG.Bytes(), 20, 10},
		"a GIF":        {asGIF.Bytes(), 300, 200},
	} {
		p, err := Prepare(t.Context(), name, c.data)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(p.JPEG) > mostJPEG || max(p.Width, p.Height) > longSide || c.w > 0 && (p.Width != c.w || p.Height != c.h) {
			t.Errorf("%s: %d × %d, %d bytes", name, p.Width, p.Height, len(p.JPEG))
		}
		if m, err := jpeg.Decode(bytes.NewReader(p.JPEG)); err != nil {
			t.Errorf("%s: %v", name, err)
		} else if name == "a clear PNG" && near(m.At(5, 5)) != "white" {
			t.Errorf("the transparent part is %v", m.At(5, 5))
		}
	}
}

// bomb returns a small PNG whose header says w × h pixels.
func bomb(w, h uint32) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32([]byte("IHDR"), w), h)
	head = append(head, 8, 6, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head))
	return append(out, "\x00\x00\x10\x00IDAT"...)
}

// A picture that is too large is refused by its header and not unpacked; a damaged one
// gives an error that says so.
func TestRefused(t *testing.T) {
	var asGIF bytes.Buffer
	if err := gif.Encode(&asGIF, corners(8, 8), nil); err != nil {
		t.Fatal(err)
	}
	wide := encoded(t, corners(8, 8))
	frame := bytes.Index(wide, []byte{0xff, 0xc0}) // start of frame (ITU-T T.81, B.2.2)
	binary.BigEndian.PutUint16(wide[frame+5:], 50_000)
	binary.BigEndian.PutUint16(wide[frame+7:], 50_000)
	binary.LittleEndian.PutUint16(asGIF.Bytes()[6:], 50_000)
	binary.LittleEndian.PutUint16(asGIF.Bytes()[8:], 50_000)
	whole := encoded(t, corners(64, 64))
	webp := "RIFF\x16\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x00\x00\x00\x00\x3f\x9c\x00\x3f\x9c\x00" // 40,000 × 40,000, near the format's limit
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"a PNG bomb", bomb(50_000, 50_000), "50000 × 50000 pixels"},
		{"a JPEG bomb", wide, "50000 × 50000 pixels"},
		{"a GIF bomb", asGIF.Bytes(), "50000 × 50000 pixels"},
		{"a WebP bomb", []byte(webp), "40000 × 40000 pixels"},
		{"just too many pixels", bomb(10_000, 5_201), "10000 × 5201 pixels"},
		{"a cut PNG", bomb(100, 100), "damaged PNG"},
		{"nothing", nil, "expected JPEG"},
		{"text", []byte("<script>"), "expected JPEG"},
		{"a cut JPEG", whole[:len(whole)/2], "damaged JPEG"},
		{"a JPEG without a picture", whole[:4], "damaged JPEG"},
		{"a JPEG of many scans", append(whole, bytes.Repeat([]byte{0xff, 0xda}, mostScans)...), "65 scans"},
		{"a large file", make([]byte, MostBytes+1), "32 MB"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		p, err := Prepare(t.Context(), c.name, c.data)
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), c.want) || p.JPEG != nil {
			t.Errorf("%s: %v, expected %q", c.name, err, c.want)
		}
		if used := after.TotalAlloc - before.TotalAlloc; used > 1<<20 {
			t.Errorf("%s: %d bytes of memory", c.name, used)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Prepare(ctx, "x", whole); err != context.Canceled {
		t.Errorf("stopped: %v", err)
	}
}
