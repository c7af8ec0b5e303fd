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

// The test binary runs itself as the program that notes, or as an editor, in a
// process of its own that can be killed.
func TestMain(m *testing.M) {
	switch os.Getenv("ASHBOOK_CHILD") {
	case "note":
		noteForever(os.Getenv("ASHBOOK_DIR"))
	case "edit":
		editForever(os.Getenv("ASHBOOK_DIR"))
	default:
		journaltest.InMemory()
		os.Exit(m.Run())
	}
}

// noteForever adds line after line and acknowledges each on its standard output. It
// flushes now and then, so that a kill may fall into a commit.
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
		if _, err := k.Edit(supper, adding(line), "harvest-supper: "+line); err != nil {
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

// editForever is an editor that reads the file, adds a line of its own and saves:
// by rename, or every third time in place. It says what it saved, and ends with its
// standard input: killed while it writes in place it would lose lines of its own.
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

// writeThrough writes a file in place and waits for the disk, as editors do.
func writeThrough(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// child starts the test binary as something else at that time. end closes its standard
// input; first tells when it says its first line; wait returns the lines it has said,
// after the word, once it has ended.
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

// kills is how often the long runs kill.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("ASHBOOK_KILLS")); err == nil {
		return n
	}
	return 15
}

// TestKilledWhileNoting kills a process that notes at random instants. No line it
// acknowledged may be lost, the journal opens and git finds it whole and clean.
func TestKilledWhileNoting(t *testing.T) {
	dir := hall(t)
	total, at := 0, night
	var all []string
	for i := range kills() {
		at = at.Add(10 * time.Minute)
		kill, _, first, wait := child(t, dir, "note", "noted", at)
		if i%4 != 0 { // the fourth may fall into the opening
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
		if len(all) > 1500 { // begin again: a cook has not that many lines
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

// checkLines looks for every line in the file, once.
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

// checkLog looks for the message of every line in the log.
func checkLog(t *testing.T, dir string, lines []string) {
	t.Helper()
	log := gitIn(t, dir, "log", "--format=%B")
	for _, line := range lines {
		if !strings.Contains(log, "harvest-supper: "+line) {
			t.Errorf("no message in the log: %s", line)
		}
	}
}

// TestKilledBesideAnEditor is the same while an editor saves the file in a loop. No
// line of ours may be lost from the file, none of the editor's from history.
func TestKilledBesideAnEditor(t *testing.T) {
	needGit(t)
	for _, inPlace := range []string{"", "yes"} {
		t.Run("in place "+inPlace, func(t *testing.T) {
			if inPlace != "" && errors.Is(disk.OS.Exchange("", ""), errors.ErrUnsupported) {
				t.Skip("no exchange on this system")
			}
			t.Setenv("ASHBOOK_INPLACE", inPlace)
			for left := (kills() + 2) / 6; left > 0; left -= 5 { // five to a journal: the file grows fast
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
