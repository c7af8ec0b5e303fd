package folder

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/history"
)

const probed = "cooks/2026/2026-09-18-harvest-supper.csv"

// row is a pit reading a number of seconds after the night began.
func row(second int, pit float64) journal.Series {
	return journal.Series{Times: []time.Time{night.Add(time.Duration(second) * time.Second)}, Pit: []float64{pit}}
}

func core(second int, piece string, c float64) journal.Series {
	return journal.Series{Times: []time.Time{night.Add(time.Duration(second) * time.Second)}, Cores: []journal.CoreSeries{{Piece: piece, C: []float64{c}}}}
}

func recorder(t testing.TB, f *Folder) *Recorder {
	t.Helper()
	r, err := f.Record(supperID)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func add(t testing.TB, r *Recorder, s journal.Series) {
	t.Helper()
	if err := r.Add(s); err != nil {
		t.Fatal(err)
	}
}

func commit(t testing.TB, r *Recorder) {
	t.Helper()
	if err := r.Commit(); err != nil {
		t.Fatal(err)
	}
}

func TestRecordAppendsInPlace(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	f := open(t, dir, c)
	r := recorder(t, f)
	add(t, r, row(0, 110))
	first, err := os.Stat(filepath.Join(dir, probed))
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < 5; i++ {
		add(t, r, row(i, 110+float64(i)))
	}
	if now, _ := os.Stat(filepath.Join(dir, probed)); !os.SameFile(first, now) {
		t.Error("the file was written anew")
	}
	file, err := f.Load(supperID)
	if err != nil || len(file.Problems) > 0 || len(file.Cook.Series.Times) != 5 {
		t.Fatalf("%v %v %v", err, file.Problems, file.Cook.Series)
	}
	commit(t, r)
	if got := subjects(t, dir); len(got) != 1 || got[0] != supperID+": probe series" {
		t.Errorf("log: %q", got)
	}
	sound(t, dir)
}

// A note is committed without the series' rows until they have waited an hour.
func TestHistoryWaitsForAGrowingSeries(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	f := open(t, dir, c)
	r := recorder(t, f)
	add(t, r, row(0, 110))
	enter(t, f, "- 2026-09-19T01:04+01:00 vent")
	flush(t, f)
	if got := subjects(t, dir); len(got) != 1 || !strings.Contains(got[0], "vent") {
		t.Errorf("log: %q", got)
	}
	if got := gitIn(t, dir, "status", "--porcelain"); got != "?? "+probed+"\n" {
		t.Errorf("git status %q", got)
	}
	add(t, r, row(1, 111))
	c.Time = night.Add(historyAfter)
	// Another program, started after this one crashed.
	flush(t, open(t, dir, c))
	if got := gitIn(t, dir, "show", "HEAD:"+probed); !strings.HasSuffix(got, ",111\n") {
		t.Errorf("in history: %q", got)
	}
	sound(t, dir)
	add(t, r, row(2, 112))
	commit(t, r)
	sound(t, dir)
}

// Two recorders for one cook, with different columns and out of order, and a third
// program that saves an old copy over both.
func TestTwoRecorders(t *testing.T) {
	dir := hall(t)
	c := &clock{night}
	a, b := recorder(t, open(t, dir, c)), recorder(t, open(t, dir, c))
	add(t, a, row(0, 110))
	add(t, b, core(5, "large", 68))
	old := read(t, dir, probed)
	for i := 1; i < 4; i++ {
		add(t, a, row(i, 110+float64(i)))
		add(t, b, core(5-i, "large", 68-float64(i)))
	}
	rename(t, dir, probed, old)
	add(t, a, row(6, 116))
	add(t, b, core(6, "large", 69))
	if a.PutBack() != 3 || b.PutBack() != 3 {
		t.Errorf("put back %d and %d rows", a.PutBack(), b.PutBack())
	}
	commit(t, a)
	commit(t, b)
	got := strings.ReplaceAll(read(t, dir, probed), "2026-09-19T01:04:", "")
	want := `time,pit_c,core_large_c
00+01:00,110,
01+01:00,111,
02+01:00,112,65
03+01:00,113,66
04+01:00,,67
05+01:00,,68
06+01:00,116,69
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	sound(t, dir)
}

// A crash or another program left half a row, which was never acknowledged.
func TestRecordBehindHalfARow(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	write(t, dir, probed, "time,pit_c\n2026-09-19T01:03+01:00,109\n2026-09-19T01:03:30+0")
	if file, err := f.Load(supperID); err != nil || len(file.Problems) > 0 || len(file.Cook.Series.Times) != 1 {
		t.Errorf("%v %v", err, file.Problems)
	}
	r := recorder(t, f)
	add(t, r, row(0, 110))
	// Somebody types a row without a line end.
	text := read(t, dir, probed)
	write(t, dir, probed, text+"2026-09-19T01:04:30+01:00,111")
	add(t, r, row(60, 112))
	want := "time,pit_c\n2026-09-19T01:03+01:00,109\n2026-09-19T01:04:00+01:00,110\n2026-09-19T01:04:30+01:00,111\n2026-09-19T01:05:00+01:00,112\n"
	if got := read(t, dir, probed); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	commit(t, r)
	sound(t, dir)
}

func TestRecordRefusals(t *testing.T) {
	dir := hall(t)
	f := open(t, dir, &clock{night})
	if _, err := f.Record("2026-01-01-nothing"); !errors.Is(err, ErrNoCook) {
		t.Errorf("got %v", err)
	}
	write(t, dir, probed, "a,b\n1,2\n")
	if err := recorder(t, f).Add(row(0, 1)); err == nil || read(t, dir, probed) != "a,b\n1,2\n" {
		t.Errorf("got %v", err)
	}
	if err := os.RemoveAll(filepath.Join(dir, ".git")); err != nil {
		t.Fatal(err)
	}
	if _, err := open(t, dir, &clock{night}).Record(supperID); !errors.Is(err, history.ErrNotUnderGit) {
		t.Errorf("got %v", err)
	}
}

// recordForever adds rows and prints each once it is acknowledged. Its rows have other
// seconds than those of the second process.
func recordForever(f *Folder) {
	r, err := f.Record(supperID)
	if err != nil {
		fmt.Println("error", err)
		return
	}
	n, _ := strconv.Atoi(os.Getenv("ASHBOOK_FIRST"))
	for i := n; ; i += 2 {
		err := r.Add(row(i, float64(i%100)))
		if errors.Is(err, history.ErrLocked) {
			i -= 2
			continue
		}
		if err != nil {
			fmt.Println("error", err)
			return
		}
		fmt.Println(i)
		if i%40 == n {
			if err := r.Commit(); err != nil && !errors.Is(err, history.ErrLocked) {
				fmt.Println("error", err)
				return
			}
		}
	}
}

// Two programs record at once and are killed again and again. Every acknowledged row is
// in the file.
func TestKilledWhileRecording(t *testing.T) {
	dir := hall(t)
	acked := map[int]bool{}
	for round := range 6 {
		var children []*exec.Cmd
		lines := make(chan string, 1000)
		ended := make(chan bool)
		for k := range 2 {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), "ASHBOOK_CHILD=record", "ASHBOOK_DIR="+dir, fmt.Sprintf("ASHBOOK_FIRST=%d", 2000*round+k))
			out, err := cmd.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			children = append(children, cmd)
			go func() {
				in := bufio.NewReader(out)
				for {
					line, err := in.ReadString('\n')
					if err == io.EOF {
						ended <- true
						return
					}
					lines <- strings.TrimSpace(line)
				}
			}()
		}
		take := func(line string) {
			n, err := strconv.Atoi(line)
			if err != nil {
				t.Fatal(line)
			}
			acked[n] = true
		}
		for range 30 + 17*round {
			take(<-lines)
		}
		for _, c := range children {
			c.Process.Kill()
		}
		for n := 0; n < 2; {
			select {
			case line := <-lines:
				take(line)
			case <-ended:
				n++
			}
		}
		for len(lines) > 0 {
			take(<-lines)
		}
		for _, c := range children {
			c.Wait()
		}
	}
	f := open(t, dir, &clock{night})
	r := recorder(t, f)
	add(t, r, row(50_000, 1))
	r.untidy = true
	commit(t, r)
	file, err := f.Load(supperID)
	if err != nil || len(file.Problems) > 0 {
		t.Fatal(err, file.Problems)
	}
	s := file.Cook.Series
	for i, at := range s.Times {
		n := int(at.Sub(night) / time.Second)
		if n < 50_000 && s.Pit[i] != float64(n%100) {
			t.Errorf("row %d has %v", n, s.Pit[i])
		}
		delete(acked, n)
	}
	if len(acked) > 0 {
		t.Errorf("%d acknowledged rows are lost of %d kept", len(acked), len(s.Times))
	}
	sound(t, dir)
}

func BenchmarkRecord(b *testing.B) {
	dir := hall(b)
	r := recorder(b, open(b, dir, &clock{night}))
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		add(b, r, row(i, 110))
	}
}
