package store

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"ashbook/journal/disk"
	"ashbook/journal/history"
	"ashbook/journal/journaltest"
)

// The test binary starts itself as a process that adds lines, or as an editor, so that
// it can be killed.
func TestMain(m *testing.M) {
	switch os.Getenv("ASHBOOK_CHILD") {
	case "note":
		noteForever(os.Getenv("ASHBOOK_DIR"))
	case "edit":
		editForever(os.Getenv("ASHBOOK_DIR"))
	default:
		if !journaltest.Whole() {
			journaltest.InMemory()
		}
		os.Exit(m.Run())
	}
}

// noteForever adds lines without end and prints each once it is acknowledged. It
// commits now and then, so that a kill may hit a commit.
func noteForever(dir string) {
	at, err := time.Parse(time.RFC3339, os.Getenv("ASHBOOK_CLOCK"))
	if err != nil {
		fmt.Println("error", err)
		return
	}
	c := &clock{at}
	k, err := start(dir, c, 10*time.Second)
	if err != nil {
		fmt.Println("error", err)
		return
	}
	for i := 0; ; i++ {
		c.Time = c.Add(time.Millisecond)
		line := fmt.Sprintf("- 2026-09-19T01:04+01:00 pit 104 °C — ours %d.%d", os.Getpid(), i)
		_, err := k.Edit(supper, adding(line), "harvest-supper: "+line)
		if errors.As(err, &Half{}) {
			continue // refused, since on a busy machine an editor may be half done for long
		}
		if err != nil {
			fmt.Println("error", err)
			return
		}
		fmt.Println("noted", line)
		if i%5 == 4 {
			if err := k.Flush(); err != nil {
				fmt.Println("error", err)
				return
			}
		}
	}
}

// editForever is an editor that reads the file, adds a line and saves: by rename, every
// third time in place. It prints what it saved. It ends when its standard input is
// closed, since an editor killed while it writes in place loses lines.
func editForever(dir string) {
	name := filepath.Join(dir, supper)
	var end atomic.Bool
	go func() {
		io.Copy(io.Discard, os.Stdin)
		end.Store(true)
	}()
	for i := 0; !end.Load(); i++ {
		data, err := os.ReadFile(name)
		if err != nil {
			fmt.Println("error", err)
			return
		}
		line := fmt.Sprintf("- 2026-09-19T01:04+01:00 edited %d.%d\n", os.Getpid(), i)
		data = append(data, line...)
		if i%3 == 2 && os.Getenv("ASHBOOK_INPLACE") != "" {
			err = writeThrough(name, data)
		} else if err = writeThrough(dir+"-editor", data); err == nil {
			err = os.Rename(dir+"-editor", name)
		}
		if err != nil {
			fmt.Println("error", err)
			return
		}
		fmt.Print("saved ", line)
	}
}

// writeThrough writes a file in place and flushes it, as editors do.
func writeThrough(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// child starts the test binary as another program. end closes its standard input. first
// receives a value at its first line of output. wait waits for its end and returns its
// lines that begin with word.
func child(t *testing.T, dir, as, word string, at time.Time) (kill, end func(), first chan bool, wait func() []string) {
	t.Helper()
	first = make(chan bool, 1)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "ASHBOOK_CHILD="+as, "ASHBOOK_DIR="+dir, "ASHBOOK_CLOCK="+at.Format(time.RFC3339))
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said := make(chan []string)
	go func() {
		var lines []string
		in := bufio.NewReader(out)
		for {
			line, err := in.ReadString('\n')
			if err == io.EOF {
				said <- lines
				return
			}
			if line, ok := strings.CutPrefix(line, word+" "); ok {
				if lines = append(lines, line); len(lines) == 1 {
					first <- true
				}
			} else if line != "" {
				t.Errorf("%s: %s", as, line)
			}
		}
	}()
	return func() { cmd.Process.Kill() }, func() { in.Close() }, first, func() []string {
		lines := <-said
		cmd.Wait()
		return lines
	}
}

// kills returns how many kills the long tests make.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("ASHBOOK_KILLS")); err == nil {
		return n
	}
	return 15
}

// TestKilledWhileNoting kills a process that adds lines, at random moments. No
// acknowledged line may be lost, and git must find the repository intact and clean.
func TestKilledWhileNoting(t *testing.T) {
	dir := hall(t)
	total, at := 0, night
	var all []string
	for i := range kills() {
		at = at.Add(10 * time.Minute)
		kill, _, first, wait := child(t, dir, "note", "noted", at)
		if i%4 != 0 { // every fourth kill may hit the opening
			<-first
		}
		time.AfterFunc(time.Duration(rand.IntN(50_000))*time.Microsecond, kill)
		lines := wait()
		all = append(all, lines...)
		total += len(lines)
		k := open(t, dir, &clock{at.Add(time.Minute)})
		checkLines(t, dir, all)
		if got := gitIn(t, dir, "status", "--porcelain"); got != "" {
			t.Fatalf("after kill %d: git status: %s", i, got)
		}
		if i%20 == 0 {
			sound(t, dir)
			checkLog(t, dir, lines)
		}
		if err := k.Flush(); err != nil {
			t.Fatal(err)
		}
		if len(all) > 1500 { // start again, since no cook has so many lines
			write(t, dir, supper, supperText)
			os.RemoveAll(k.state)
			all = nil
			if _, err := history.Init(dir, night, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	sound(t, dir)
	t.Logf("%d kills, %d lines acknowledged", kills(), total)
}

// checkLines requires every line to be in the file exactly once.
func checkLines(t *testing.T, dir string, lines []string) {
	t.Helper()
	count := map[string]int{}
	for line := range strings.Lines(read(t, dir, supper)) {
		count[line]++
	}
	lost, twice := 0, 0
	for _, line := range lines {
		switch n := count[line]; {
		case n == 0:
			lost++
		case n > 1:
			twice++
		}
	}
	if lost+twice > 0 {
		t.Fatalf("of %d acknowledged lines %d are lost and %d doubled", len(lines), lost, twice)
	}
}

// checkLog requires a commit message for every line.
func checkLog(t *testing.T, dir string, lines []string) {
	t.Helper()
	log := gitIn(t, dir, "log", "--format=%B")
	for _, line := range lines {
		if !strings.Contains(log, "harvest-supper: "+line) {
			t.Errorf("no message in the log: %s", line)
		}
	}
}

// TestKilledBesideAnEditor does the same while an editor keeps saving the file. Every
// line of ours must be in the file, every line of the editor's in history.
func TestKilledBesideAnEditor(t *testing.T) {
	journaltest.OnlyWhole(t)
	needGit(t)
	for _, inPlace := range []string{"", "yes"} {
		t.Run("in place "+inPlace, func(t *testing.T) {
			if inPlace != "" && errors.Is(disk.OS.Exchange("", ""), errors.ErrUnsupported) {
				t.Skip("no exchange on this system")
			}
			t.Setenv("ASHBOOK_INPLACE", inPlace)
			// five kills for each journal, since the file grows fast
			for left := (kills() + 2) / 6; left > 0; left -= 5 {
				killBesideEditor(t, min(5, left))
			}
		})
	}
}

func killBesideEditor(t *testing.T, rounds int) {
	dir := hall(t)
	var ours, theirs []string
	at := night
	for i := range rounds {
		at = at.Add(10 * time.Minute)
		_, endEditor, _, waitEditor := child(t, dir, "edit", "saved", at)
		kill, _, first, wait := child(t, dir, "note", "noted", at)
		<-first
		time.AfterFunc(time.Duration(rand.IntN(150_000))*time.Microsecond, kill)
		ours = append(ours, wait()...)
		endEditor()
		theirs = append(theirs, waitEditor()...)
		open(t, dir, &clock{at.Add(time.Minute)})
		checkLines(t, dir, ours)
		if got := gitIn(t, dir, "status", "--porcelain"); got != "" {
			t.Fatalf("after kill %d: git status: %s", i, got)
		}
	}
	sound(t, dir)
	log := gitIn(t, dir, "log", "-p", "--format=%H")
	file := read(t, dir, supper)
	lost, gone := 0, 0
	for _, line := range theirs {
		if !strings.Contains(log, "+"+line) {
			lost++
		}
		if !strings.Contains(file, line) {
			gone++
		}
	}
	if lost > 0 {
		t.Errorf("%d of the editor's %d lines are not in history", lost, len(theirs))
	}
	t.Logf("%d lines of ours, %d of the editor's, of which %d are in history only", len(ours), len(theirs), gone)
}
