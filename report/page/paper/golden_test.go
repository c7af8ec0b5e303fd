package paper

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden sheets")

// The sheets as written, without the common style; -update writes them.
func TestGolden(t *testing.T) {
	night := sample(4)
	night.Rows = append(night.Rows, Row{Hour: "23", Notes: []string{"paper at 72 °C?", "feel from 88 °C"}}, Row{Hour: "00", Day: "Sat", Notes: []string{"13:00 meal"}})
	blank := sample(0)
	blank.Rows, blank.Curve = make([]Row, 2), nil
	cards := Cards{Title: "Harvest supper", Date: "19 Sep 2026", Traits: []string{"tenderness", "salt"}, Leans: []bool{false, true}}
	for name, data := range map[string][]byte{
		"sheet-A4": night.Render(Sizes[0]), "sheet-A5": night.Render(Sizes[1]), "blank-letter": blank.Render(Sizes[2]),
		"cards-A4": cards.Render(Sizes[0]), "cards-A5": cards.Render(Sizes[1]),
	} {
		_, got, _ := strings.Cut(string(data), style)
		file := filepath.Join("testdata", name+".html")
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
			t.Errorf("%s differs; go test ./report/page/paper -update, then read it", file)
		}
	}
}
