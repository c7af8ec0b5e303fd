package merge

import "testing"

func TestSeries(t *testing.T) {
	const base = "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,120.7,6.6\n"
	cases := []struct{ name, ann, ben, want string }{
		{"rows of each", base + "2026-09-05T05:45+01:00,119,7\n", base + "2026-09-05T05:50+01:00,118,8\n",
			base + "2026-09-05T05:45+01:00,119,7\n2026-09-05T05:50+01:00,118,8\n"},
		{"a column of one, a row of the other", "time,pit_c,core_c,core_small_c\n2026-09-05T05:35+01:00,121.4,5.7,4\n2026-09-05T05:40+01:00,120.7,6.6,\n", base + "2026-09-05T05:50+01:00,118,8\n",
			"time,pit_c,core_c,core_small_c\n2026-09-05T05:35+01:00,121.4,5.7,4\n2026-09-05T05:40+01:00,120.7,6.6,\n2026-09-05T05:50+01:00,118,8,\n"},
		{"a row taken out, a cell mended", "time,pit_c,core_c\n2026-09-05T05:40+01:00,120.7,6.6\n", "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,120.7,6.9\n",
			"time,pit_c,core_c\n2026-09-05T05:40+01:00,120.7,6.9\n"},
		{"two values for one cell: the later below", "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,120.7,7\n", "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,119,6.9\n",
			"time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n2026-09-05T05:40+01:00,119,7\n2026-09-05T05:40+01:00,119,6.9\n"},
		{"three values of one cell, one of them in both", "time,pit_c\n2026-09-05T05:35+01:00,118\n2026-09-05T05:35+01:00,119\n", "time,pit_c\n2026-09-05T05:35+01:00,119\n2026-09-05T05:35+01:00,120\n",
			"time,pit_c\n2026-09-05T05:35+01:00,118\n2026-09-05T05:35+01:00,119\n2026-09-05T05:35+01:00,120\n"},
		{"merged before with the one", "time,pit_c\n2026-09-05T05:35+01:00,118\n2026-09-05T05:35+01:00,119\n", "time,pit_c\n2026-09-05T05:35+01:00,118\n",
			"time,pit_c\n2026-09-05T05:35+01:00,118\n2026-09-05T05:35+01:00,119\n"},
		{"merged before with the other", "time,pit_c\n2026-09-05T05:35+01:00,117\n2026-09-05T05:35+01:00,118\n", "time,pit_c\n2026-09-05T05:35+01:00,117\n",
			"time,pit_c\n2026-09-05T05:35+01:00,117\n2026-09-05T05:35+01:00,118\n"},
		{"merged before, the one below", "time,pit_c\n2026-09-05T05:35+01:00,117\n2026-09-05T05:35+01:00,118\n", "time,pit_c\n2026-09-05T05:35+01:00,118\n",
			"time,pit_c\n2026-09-05T05:35+01:00,117\n2026-09-05T05:35+01:00,118\n"},
		{"a row still being written", base + "2026-09-05T05:45+01:00,11", base + "2026-09-05T05:50+01:00,118,8\n",
			base + "2026-09-05T05:50+01:00,118,8\n2026-09-05T05:45+01:00,11"},
		{"no table", "a\n", "b\n", "a\n\nb\n"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			a, b := Version{Text: []byte(c.ann), By: "Ann", At: early}, Version{Text: []byte(c.ben), By: "Ben", At: late}
			got, conflicts := Series([]byte(base), a, b)
			if other, _ := Series([]byte(base), b, a); string(other) != string(got) {
				t.Errorf("the other way round:\n%s\nis not\n%s", other, got)
			}
			if string(got) != c.want {
				t.Errorf("merged:\n%s\nwant:\n%s(conflicts %v)", got, c.want, conflicts)
			}
		})
	}
}

// The merge reports a cell with two values once, whichever version is the later.
func TestSeriesReportsOnce(t *testing.T) {
	const base = "time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,5.7\n"
	a := Version{Text: []byte("time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,7\n"), By: "Ann", At: early}
	b := Version{Text: []byte("time,pit_c,core_c\n2026-09-05T05:35+01:00,121.4,6.9\n"), By: "Ben", At: late}
	for _, turned := range []bool{false, true} {
		if turned {
			a.At, b.At = b.At, a.At
		}
		if _, conflicts := Series([]byte(base), a, b); len(conflicts) != 1 {
			t.Errorf("later is Ann's %t: conflicts %v, want one", turned, conflicts)
		}
	}
}
