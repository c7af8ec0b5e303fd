package main

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A page of twelve photographs that do not compress stays under 3 MB. A photograph that
// is damaged, missing or a link is named and left out.
func TestPhotos(t *testing.T) {
	if testing.Short() {
		t.Skip("decodes and encodes for seconds, and shares nothing between goroutines")
	}
	dir := probedHall(t)
	cooks := filepath.Join(dir, "cooks", "2026")
	m := image.NewRGBA(image.Rect(0, 0, 700, 500))
	rand.NewChaCha8([32]byte{1}).Read(m.Pix)
	var noise bytes.Buffer
	if err := jpeg.Encode(&noise, m, nil); err != nil {
		t.Fatal(err)
	}
	put := func(name string, data []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(cooks, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	command := func(args ...string) string {
		t.Helper()
		env := testEnvironment(t, dir)
		var out bytes.Buffer
		env.out, env.err = &out, &out
		if code := run(t.Context(), append([]string{"--journal", dir}, args...), env); code != exitFine {
			t.Fatalf("%q: %d %s", args, code, out.String())
		}
		return out.String()
	}
	for i := range 11 {
		put(fmt.Sprintf("2026-09-18-harvest-supper-%02d.jpg", i), noise.Bytes())
	}
	put("bark.jpg", noise.Bytes())
	put("half.jpg", noise.Bytes()[:noise.Len()/2])
	put("words.jpg", []byte("<script>alert(1)</script>"))
	if err := os.Symlink("bark.jpg", filepath.Join(cooks, "link.jpg")); err != nil {
		t.Fatal(err)
	}
	cook := filepath.Join(cooks, "2026-09-18-harvest-supper.md")
	notes, err := os.ReadFile(cook)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"bark.jpg", "half.jpg", "words.jpg", "link.jpg", "gone.jpg", "../../journal.md", "bark.jpg"} {
		notes = fmt.Appendf(notes, "- 2026-09-18T23:%02d+00:00 photo %s — the bark\n", i, name)
	}
	put(filepath.Base(cook), notes)
	out := command("page", "harvest", "-o", "-")
	if n := strings.Count(out, "<img"); n != 12 || len(out) > 3_000_000 {
		t.Errorf("%d photographs, %d bytes", n, len(out))
	}
	t.Logf("%d bytes", len(out))
	for _, want := range []string{"bark.jpg — the bark", "half.jpg&#34;: a damaged JPEG", "words.jpg&#34;: not a picture", "link.jpg&#34;: a link", "gone.jpg&#34;: no such file", "journal.md&#34;: not beside the cook"} {
		if !strings.Contains(out, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, flag := range []string{"--no-photos", "--private"} {
		if out := command("page", "harvest", "-o", "-", flag); strings.Contains(out, "<img") || strings.Contains(out, "Photographs") {
			t.Errorf("%s: photographs", flag)
		}
	}
}
