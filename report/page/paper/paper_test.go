package paper

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
)

func sample(rows int) Sheet {
	s := Sheet{Title: "Harvest supper", Date: "Friday to Saturday", Meal: "meal 13:00", Plan: "pork shoulder", Times: "on by 19:50",
		Cores: []string{"core large", "core small"}, Mass: "kg", Thick: "cm", Temp: "°C", Ticks: [3]string{"0", "50", "100"}, Foot: []string{"Out of doors only."}}
	for i := range rows {
		r := Row{Hour: fmt.Sprintf("%02d", (18+i)%24)}
		if r.Hour == "00" {
			r.Day = "Sat"
		}
		s.Rows = append(s.Rows, r)
		s.Curve = append(s.Curve, Point{Row: float64(i), Low: .1, Mid: .2, High: .3})
	}
	return s
}

// Rows are at least 9 mm high. Rows that do not fit continue on the next side; none is
// lost or repeated. ISO 216: A4 is 210 × 297 mm, A5 148 × 210.
func TestSides(t *testing.T) {
	for _, size := range Sizes {
		for _, n := range []int{1, 12, 20, 21, 30, 48} {
			per, height := size.sides(n)
			if height < leastRow || float64(per)*height > size.room()+1e-9 && per > 1 {
				t.Errorf("%s, %d rows: %d a side of %.1f mm, in %.1f mm", size.Name, n, per, height, size.room())
			}
			got := string(sample(n).Render(size))
			if rows := strings.Count(got, `<tr><th scope="row">`) + strings.Count(got, `class="midnight"`); rows != n {
				t.Errorf("%s: %d rows of %d", size.Name, rows, n)
			}
		}
	}
	for _, size := range Sizes {
		if sides := strings.Count(string(sample(20).Render(size)), `class="sheet"`); sides != 1 && size.Name != "A5" {
			t.Errorf("%s: a night of 20 hours takes %d sides", size.Name, sides)
		}
	}
	if _, ok := SizeOf("LETTER"); !ok {
		t.Error("Letter is not known")
	}
}

func TestSheet(t *testing.T) {
	hostile := `<script>"'&` + "\x1b"
	s := sample(10)
	s.Title, s.Date, s.Meal, s.Plan, s.Times, s.Cores[0], s.Foot = hostile, hostile, hostile, hostile, hostile, hostile, []string{hostile}
	s.Rows[1].Notes = []string{hostile}
	for name, got := range map[string]string{
		"sheet": string(s.Render(Sizes[0])),
		"cards": string(Cards{Title: hostile, Date: hostile, Traits: []string{hostile, "salt"}, Leans: []bool{false, true}}.Render(Sizes[0])),
	} {
		for _, bad := range []string{"<script", "\x1b", "<form", "http:"} {
			if strings.Contains(got, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
		if n := strings.Count(got, "<h1>"); n != 1 {
			t.Errorf("%s: %d h1", name, n)
		}
		if m := regexp.MustCompile(`%!|EXTRA`).FindString(got); m != "" {
			t.Errorf("%s: a format went wrong: %s", name, m)
		}
	}
	got := string(sample(10).Render(Sizes[0]))
	for _, want := range []string{"<b>meal\u00a0", "Friday to Saturday", `class="midnight"`, "w v f l s t", "Out of doors only.", `class="mid"`} {
		if !strings.Contains(strings.ReplaceAll(got, "meal 13", "meal\u00a013"), want) {
			t.Errorf("missing %q", want)
		}
	}
	if len(got) > 40_000 {
		t.Errorf("%d bytes", len(got))
	}
}
