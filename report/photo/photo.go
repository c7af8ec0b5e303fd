// Package photo prepares photographs for a page: decoded, turned upright, scaled and
// encoded again. Metadata such as place, time and camera are dropped.
package photo

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"path"
	"slices"
	"strings"

	"golang.org/x/image/draw"
	"golang.org/x/image/webp"

	"ashbook/report/page"
)

// Limits of pictures.
const (
	MostBytes  = 32 << 20   // size of a file, bytes (chosen: more than phones write)
	mostPixels = 52_000_000 // of one picture (chosen: the largest phone cameras)
	mostScans  = 64         // in a JPEG; 1 to 10 are usual, and decoding each costs as much as a plain JPEG
	longSide   = 1200       // of a picture on a page, px
	mostJPEG   = 180_000    // bytes of a picture on a page: twelve are under 3 MB in base64
	Most       = 24         // pictures on a page (chosen)
)

// qualities are tried in order until the JPEG is small enough; if none is, the picture
// is made smaller.
var qualities = []int{82, 72, 60}

// Types lists the file name extensions of pictures that can be read.
var Types = []string{".jpg", ".jpeg", ".png", ".gif", ".webp"}

// Named reports whether a file name has one of these extensions.
func Named(name string) bool { return slices.Contains(Types, strings.ToLower(path.Ext(name))) }

// format is a file format, recognized by its first bytes.
type format struct {
	name, first string
	config      func(*bytes.Reader) (image.Config, error)
	decode      func(*reader) (image.Image, error)
}

var formats = []format{
	{"JPEG", "\xff\xd8\xff", func(r *bytes.Reader) (image.Config, error) { return jpeg.DecodeConfig(r) }, func(r *reader) (image.Image, error) { return jpeg.Decode(r) }},
	{"PNG", "\x89PNG\r\n\x1a\n", func(r *bytes.Reader) (image.Config, error) { return png.DecodeConfig(r) }, func(r *reader) (image.Image, error) { return png.Decode(r) }},
	{"GIF", "GIF8", func(r *bytes.Reader) (image.Config, error) { return gif.DecodeConfig(r) }, func(r *reader) (image.Image, error) { return gif.Decode(r) }},
	{"WebP", "RIFF", func(r *bytes.Reader) (image.Config, error) { return webp.DecodeConfig(r) }, func(r *reader) (image.Image, error) { return webp.Decode(r) }},
}

// reader returns the error of ctx once ctx is done.
type reader struct {
	ctx context.Context
	*bytes.Reader
}

func (r *reader) Read(b []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.Reader.Read(b)
}

func (r *reader) ReadByte() (byte, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.Reader.ReadByte()
}

// Prepare makes a photograph from the bytes of a file. A picture that is too large is
// refused before it is unpacked. Errors are those of ctx, or say what is wrong with the
// file.
func Prepare(ctx context.Context, name string, data []byte) (page.Photo, error) {
	if len(data) > MostBytes {
		return page.Photo{}, fmt.Errorf("%d MB: expected at most %d", len(data)>>20, MostBytes>>20)
	}
	i := slices.IndexFunc(formats, func(f format) bool { return bytes.HasPrefix(data, []byte(f.first)) })
	if i < 0 {
		return page.Photo{}, fmt.Errorf("not a picture that can be read: expected JPEG, PNG, GIF or WebP")
	}
	f := formats[i]
	c, err := f.config(bytes.NewReader(data))
	switch {
	case err != nil:
		return page.Photo{}, fmt.Errorf("a damaged %s: %v", f.name, err)
	case c.Width <= 0 || c.Height <= 0:
		return page.Photo{}, fmt.Errorf("a damaged %s: %d × %d pixels", f.name, c.Width, c.Height)
	case c.Width > mostPixels/c.Height:
		return page.Photo{}, fmt.Errorf("%d × %d pixels: expected at most %d million", c.Width, c.Height, mostPixels/1_000_000)
	}
	turned := upright
	if f.name == "JPEG" {
		if n := bytes.Count(data, []byte{0xff, 0xda}); n > mostScans {
			return page.Photo{}, fmt.Errorf("a JPEG of %d scans: expected at most %d", n, mostScans)
		}
		turned = orientation(data)
	}
	m, err := f.decode(&reader{ctx, bytes.NewReader(data)})
	if ctx.Err() != nil {
		return page.Photo{}, ctx.Err()
	}
	if err != nil {
		return page.Photo{}, fmt.Errorf("a damaged %s: %v", f.name, err)
	}
	return encode(name, turned.turn(shrink(m, longSide)))
}

// encode encodes a picture as a JPEG of at most mostJPEG bytes.
func encode(name string, m *image.RGBA) (page.Photo, error) {
	for {
		var b bytes.Buffer
		for _, q := range qualities {
			b.Reset()
			if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: q}); err != nil {
				return page.Photo{}, err
			}
			if size := m.Bounds().Size(); b.Len() <= mostJPEG {
				return page.Photo{Name: name, Width: size.X, Height: size.Y, JPEG: b.Bytes()}, nil
			}
		}
		size := m.Bounds().Size()
		m = shrink(m, max(size.X, size.Y)*3/4)
	}
}

// shrink scales a picture so that its longer side is at most long px, on white if it is
// transparent. It is halved first, as a filter over a large picture takes much memory.
func shrink(m image.Image, long int) *image.RGBA {
	for {
		size := m.Bounds().Size()
		if max(size.X, size.Y) < 2*long {
			break
		}
		m = scaled(m, image.Pt(max(1, size.X/2), max(1, size.Y/2)), draw.ApproxBiLinear)
	}
	size := m.Bounds().Size()
	to := size
	if most := max(size.X, size.Y); most > long {
		to = image.Pt(max(1, (size.X*long+most/2)/most), max(1, (size.Y*long+most/2)/most))
	}
	return scaled(m, to, draw.CatmullRom)
}

func scaled(m image.Image, to image.Point, by draw.Scaler) *image.RGBA {
	out := image.NewRGBA(image.Rectangle{Max: to})
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	by.Scale(out, out.Bounds(), m, m.Bounds(), draw.Over, nil)
	return out
}
