package merge

import "testing"

func TestValueOfACell(t *testing.T) {
	const table = "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,120,\n2026-09-05T05:40+01:00,121,\n"
	for _, c := range []struct{ at, column, want string }{
		{"2026-09-05T05:35+01:00", "core_c", "5.7"},
		{"2026-09-05T04:35Z", "core_c", "5.7"},
		{"2026-09-05T05:40+01:00", "pit_c", "120,121"},
		{"2026-09-05T05:40+01:00", "core_c", ""},
		{"2026-09-05T05:41+01:00", "pit_c", ""},
		{"2026-09-05T05:35+01:00", "air_c", ""},
	} {
		if got, ok := Value("cooks/2026/night.csv", []byte(table), []string{c.at, c.column}); got != c.want || ok != (c.want != "") {
			t.Errorf("%s %s: %q %t, want %q", c.at, c.column, got, ok, c.want)
		}
	}
}
