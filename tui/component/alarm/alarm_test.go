package alarm

import (
	"slices"
	"testing"
	"time"
)

var night = time.Date(2026, 9, 19, 1, 4, 0, 0, time.FixedZone("", 3600))

// run calls Attend once a minute and returns the minutes in which it rang.
func run(b *Bell, from, to int, calls []Call, sleeping bool) (rang []int) {
	for m := from; m < to; m++ {
		if len(b.Attend(night.Add(time.Duration(m)*time.Minute), calls, sleeping, false)) > 0 {
			rang = append(rang, m)
		}
	}
	return rang
}

func TestRings(t *testing.T) {
	fire := []Call{{Key: "fire", Text: "fire", Wakes: true, Nags: true}}
	check := []Call{{Key: "check", Text: "check", Nags: true}}
	once := []Call{{Key: "probe", Text: "probe"}}
	for name, c := range map[string]struct {
		calls    []Call
		sleeping bool
		hush     int // minute in which a key is pressed
		want     []int
	}{
		"until heard, then after half an hour": {check, false, 12, []int{0, 5, 10, 40, 45, 50, 55}},
		"what does not nag":                    {once, false, 12, []int{0, 5, 10}},
		"a sleeper, every minute":              {fire, true, 3, []int{0, 1, 2, 32, 33, 34, 35, 36, 37, 38, 39, 40, 41, 42, 43, 44, 45, 46, 47, 48, 49, 50, 51, 52, 53, 54, 55, 56, 57, 58, 59}},
		"what is not worth waking for":         {check, true, 3, nil},
	} {
		var b Bell
		got := run(&b, 0, c.hush, c.calls, c.sleeping)
		b.Hush()
		if got = append(got, run(&b, c.hush, 60, c.calls, c.sleeping)...); !slices.Equal(got, c.want) {
			t.Errorf("%s: rang in minutes %v, want %v", name, got, c.want)
		}
	}
}

// A call that comes back within half an hour is the same one; later it is a new one.
func TestComesBack(t *testing.T) {
	var b Bell
	calls := []Call{{Key: "fire", Text: "fire"}}
	run(&b, 0, 1, calls, false)
	b.Hush()
	run(&b, 1, 20, nil, false)
	if rang := run(&b, 20, 40, calls, false); rang != nil {
		t.Errorf("rang again in minutes %v", rang)
	}
	run(&b, 40, 80, nil, false)
	if rang := run(&b, 80, 81, calls, false); len(rang) != 1 {
		t.Error("a fire that was well for half an hour does not ring when it is not")
	}
}

// A call that is there when somebody comes does not ring. If they do nothing about it,
// it rings later.
func TestPresent(t *testing.T) {
	var b Bell
	calls := []Call{{Key: "fire", Text: "fire", Nags: true}}
	if say := b.Attend(night, calls, false, true); say != nil || len(b.Unheard(calls, false)) != 0 {
		t.Errorf("rang %q", say)
	}
	if rang := run(&b, 1, 31, calls, false); !slices.Equal(rang, []int{30}) {
		t.Errorf("rang in minutes %v, want 30", rang)
	}
	if got := b.Unheard(calls, false); len(got) != 1 {
		t.Errorf("unheard %v", got)
	}
}

func TestInTen(t *testing.T) {
	for chance, want := range map[float64]string{0: "under 1 in 20", .049: "under 1 in 20", .05: "1 in 10", .24: "2 in 10", .5: "5 in 10", .94: "9 in 10", .96: "nearly sure", 1: "nearly sure"} {
		if got := InTen(chance); got != want {
			t.Errorf("%g: %q, want %q", chance, got, want)
		}
	}
}
