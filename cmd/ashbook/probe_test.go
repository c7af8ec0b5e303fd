package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

const supperCSV = "cooks/2026/2026-09-18-harvest-supper.csv"

// probedHall returns a journal with a running cook.
func probedHall(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, args := range [][]string{
		{"init", dir}, {"--journal", dir, "light", "pork", "shoulder", "--title", "Harvest supper"}, {"--journal", dir, "note", "on"},
	} {
		env := testEnvironment(t, dir)
		var out bytes.Buffer
		env.out, env.err = &out, &out
		if code := run(t.Context(), args, env); code != exitFine {
			t.Fatalf("%q: %d\n%s", args, code, out.String())
		}
	}
	return dir
}

// screen has what a program has printed so far; a test can wait for a text in it.
type screen struct {
	mu   sync.Mutex
	text string
	more chan bool
}

func newScreen() *screen { return &screen{more: make(chan bool, 1)} }

func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	s.text += string(p)
	s.mu.Unlock()
	select {
	case s.more <- true:
	default:
	}
	return len(p), nil
}

func (s *screen) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text
}

func (s *screen) wait(pattern *regexp.Regexp) []string {
	for {
		if m := pattern.FindStringSubmatch(s.String()); m != nil {
			return m
		}
		<-s.more
	}
}

// patience is how long the slowest machine may take for a step.
const patience = 60 * time.Second

// running is a program that runs while the test controls its ticks.
type running struct {
	out   *screen
	ticks chan time.Time
	stop  context.CancelFunc
	ended chan int
}

func begin(t *testing.T, dir string, in io.Reader, args ...string) *running {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	r := &running{newScreen(), make(chan time.Time), cancel, make(chan int, 1)}
	env := testEnvironment(t, dir)
	env.in, env.out, env.err, env.ticks = in, r.out, r.out, r.ticks
	// no row is in the future
	env.now = func() time.Time { return time.Date(2026, 9, 18, 20, 15, 0, 0, time.UTC) }
	go func() { r.ended <- run(ctx, append([]string{"--journal", dir}, args...), env) }()
	return r
}

// tick sends one tick and returns when its work is done.
func (r *running) tick() {
	r.ticks <- time.Time{}
	r.ticks <- time.Time{}
}

// shows waits for a text; a program that ends without it fails the test.
func (r *running) shows(t *testing.T, pattern *regexp.Regexp) []string {
	t.Helper()
	for {
		if m := pattern.FindStringSubmatch(r.out.String()); m != nil {
			return m
		}
		select {
		case <-r.out.more:
		case code := <-r.ended:
			t.Fatalf("ended with %d before it showed %s:\n%s", code, pattern, r.out.String())
		}
	}
}

// over lets ticks pass until the program ends by itself, and returns its exit code.
func (r *running) over(t *testing.T) int {
	t.Helper()
	for late := time.After(patience); ; {
		select {
		case r.ticks <- time.Time{}:
		case code := <-r.ended:
			return code
		case <-late:
			t.Fatalf("still running:\n%s", r.out.String())
		}
	}
}

// end sends Ctrl-C.
func (r *running) end(t *testing.T, want int) string {
	t.Helper()
	r.stop()
	if code := <-r.ended; code != want {
		t.Errorf("exit code %d, want %d\n%s", code, want, r.out.String())
	}
	return r.out.String()
}

func put(t *testing.T, name string, flag int, text string) {
	t.Helper()
	f, err := os.OpenFile(name, os.O_CREATE|os.O_WRONLY|flag, 0o666)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString(text); err != nil {
		t.Fatal(err)
	}
	f.Close()
}

func rows(t *testing.T, dir string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, supperCSV))
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(data), "2026-09-18T", "")
}

// Two inputs to one cook at once: a file that is truncated and starts again, and lines
// on standard input. Ctrl-C ends both with everything saved.
func TestFollowAndStandardInput(t *testing.T) {
	dir := probedHall(t)
	log := filepath.Join(t.TempDir(), "log.csv")
	put(t, log, 0, "time,pit_c\n2026-09-18T20:10:00Z,110\n2026-09-18T20:1")
	file := begin(t, dir, nil, "probe", log, "--follow")
	file.tick()
	if got, want := rows(t, dir), "time,pit_c\n20:10:00Z,110\n"; got != want {
		t.Errorf("got\n%s", got)
	}

	in, feed := io.Pipe()
	lines := begin(t, dir, in, "probe", "-")
	io.WriteString(feed, "time,core_c\n2026-09-18T20:10:00Z,5\n2026-09-18T20:09:00Z,4.5\n")
	lines.tick()

	put(t, log, os.O_APPEND, "1:00Z,111\n")
	file.tick()
	put(t, log, os.O_TRUNC, "time;pit_c\n2026-09-18T20:12:00Z;112,5\n")
	file.tick()
	put(t, log, os.O_TRUNC, "dear diary\nnothing here\n")
	file.tick()
	if err := os.Remove(log); err != nil {
		t.Fatal(err)
	}
	file.tick()
	put(t, log, 0, "time,pit_c\n2026-09-18T20:13:00Z,113\nsoon,1\nhalf")
	file.tick()
	io.WriteString(feed, "2026-09-18T20:14:00Z,6\n2026-09-18T20:15:00Z,")
	lines.tick()

	put(t, log, os.O_APPEND, " a row\n2026-09-18T20:14:00Z,114\n") // after the last tick
	said := file.end(t, exitWarnings)
	if n := strings.Count(said, "was started again"); n != 3 || strings.Count(said, "no column of a pit") != 1 || !strings.Contains(said, "7 rows read, 5 saved") {
		t.Errorf("said:\n%s", said)
	}
	feed.Close()
	if code := <-lines.ended; code != exitFine {
		t.Errorf("exit code %d\n%s", code, lines.out.String())
	}
	want := `time,pit_c,core_c
20:09:00Z,,4.5
20:10:00Z,110,5
20:11:00Z,111,
20:12:00Z,112.5,
20:13:00Z,113,
20:14:00Z,114,6
`
	if got := rows(t, dir); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A posted reading is saved when it is answered, the token is required, and Ctrl-C ends
// with everything saved.
func TestListen(t *testing.T) {
	dir := probedHall(t)
	r := begin(t, dir, nil, "probe", "--listen", "127.0.0.1:0")
	url := r.shows(t, regexp.MustCompile(`(?m) at (http://\S+) until`))[1]
	token := r.shows(t, regexp.MustCompile(`(?m)^token for this run: (\S+)$`))[1]
	post := func(token, body string) int {
		req, err := http.NewRequest(http.MethodPost, url, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/json")
		req.Header.Set("Authorization", "Bearer "+token)
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.StatusCode
	}
	if code := post("x", `{"pit_c": 1}`); code != http.StatusUnauthorized {
		t.Errorf("without the token: %d", code)
	}
	var posts sync.WaitGroup
	for i := range 60 {
		posts.Go(func() {
			if code := post(token, fmt.Sprintf(`{"time": "2026-09-18T20:10:%02dZ", "pit_c": %d}`, i, 100+i)); code != http.StatusOK {
				t.Errorf("%d: %d", i, code)
			}
		})
	}
	posts.Wait()
	if n := strings.Count(rows(t, dir), "\n"); n != 61 {
		t.Errorf("%d lines while it runs", n)
	}
	r.tick()
	if said := r.end(t, exitFine); !strings.Contains(said, "60 readings saved") || !strings.Contains(said, "first reading 18 Sep") {
		t.Errorf("said:\n%s", said)
	}
	got := rows(t, dir)
	for i := range 60 {
		if !strings.Contains(got, fmt.Sprintf("20:10:%02dZ,%d\n", i, 100+i)) {
			t.Errorf("row %d is not there", i)
		}
	}
	if lines := strings.Split(strings.TrimSpace(got), "\n")[1:]; !slices.IsSorted(lines) {
		t.Errorf("not in order:\n%s", got)
	}
}
