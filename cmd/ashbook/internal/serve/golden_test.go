package serve

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"ashbook/report/page"
)

var update = flag.Bool("update", false, "write the golden pages")

// What the phone shows, as HTML: the running cook, the form, and a line as it is
// understood. -update writes it.
func TestGolden(t *testing.T) {
	h := New(Service{Read: func(string) (Heard, error) { return Heard{}, nil }}, "127.0.0.1:8788")
	h.path, h.form = "/PATH/", "TOKEN"
	cook := page.Page{Title: "Harvest supper", Aside: "stalling · Sat 01:08"}
	cook.Add(page.Section{Facts: []page.Fact{{Name: "Pit", Value: "106 °C", Note: "at 01:05 · −4 °C/h"}, {Name: "Ready to take off", Value: "06:30 – 09:00", Note: "likely 07:40 · meal 13:00: in time, hold 4 – 6½ h"}}})
	cook.Add(page.Section{Heading: "Last notes", Lines: []string{"01:04 pit 103 °C, vent, by HB — pale <on> the left"}})
	for name, got := range map[string]string{
		"running":    running(h, cook),
		"form":       noteForm(h, "", ""),
		"understood": understood(h, "ID", `112 71 "w" <b>`, "Helen & Jo", Heard{Says: "pit 112 °C · core 71 °C · wood <b>", Look: []string{"core 71 °C: 3 °C in 4 min"}}),
	} {
		file := filepath.Join("testdata", name+".html")
		got += "\n"
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; go test ./cmd/ashbook/internal/serve -update, then read it", file)
		}
	}
}
