package folder

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/history"
	"ashbook/journal/merge"
	"ashbook/journal/pattern"
)

// Copy is a file that a synced folder left next to one of the journal's files after two
// machines had changed it. It is not read as a cook, pit or mix.
type Copy struct {
	Path string
	Of   string // the file that it is a copy of
}

// copyNames match the names that folder-sync programs give to the second version of
// NAME: NAME (… conflicted copy …), NAME.sync-conflict-…, NAME (1).
var copyNames = []*pattern.Pattern{
	pattern.New(`(?i)^(.+) \([^()]*conflicted copy[^()]*\)$`),
	pattern.New(`^(.+)\.sync-conflict-.+$`),
	pattern.New(`^(.+) \([1-9][0-9]?\)$`),
}

// copyOf returns the file that a name is a copy of; "" for none.
func copyOf(name string, there func(name string) bool) string {
	end := path.Ext(name)
	if end != cookEnd && end != seriesEnd || !strings.Contains(name, " (") && !strings.Contains(name, ".sync-conflict-") {
		return ""
	}
	for _, re := range copyNames {
		if m := re.FindStringSubmatch(strings.TrimSuffix(name, end)); m != nil && there(m[1]+end) {
			return m[1] + end
		}
	}
	return ""
}

// isCopy reports whether a path is that of a copy.
func (f *Folder) isCopy(p string) bool {
	return copyOf(path.Base(p), func(name string) bool {
		info, err := os.Lstat(f.full(path.Join(path.Dir(p), name)))
		return err == nil && info.Mode().IsRegular()
	}) != ""
}

// Copies lists the copies in the journal, in order of their paths.
func (f *Folder) Copies() (all []Copy) {
	dirs := []string{".", pitsDir, mixesDir, cooksDir}
	years, _ := os.ReadDir(f.full(cooksDir))
	for _, y := range years {
		if y.IsDir() && !strings.HasPrefix(y.Name(), ".") {
			dirs = append(dirs, path.Join(cooksDir, y.Name()))
		}
	}
	for _, dir := range dirs {
		entries, err := os.ReadDir(f.full(dir))
		if err != nil {
			continue
		}
		there := map[string]bool{}
		for _, e := range entries {
			there[e.Name()] = e.Type().IsRegular()
		}
		for _, e := range entries {
			of := copyOf(e.Name(), func(name string) bool { return there[name] })
			if of != "" && there[e.Name()] && (dir != "." || of == settingsName) {
				all = append(all, Copy{path.Join(dir, e.Name()), path.Join(dir, of)})
			}
		}
	}
	slices.SortFunc(all, func(a, b Copy) int { return strings.Compare(a.Path, b.Path) })
	return all
}

// problem describes a copy as a problem.
func (c Copy) problem() journal.Problem {
	return journal.Problem{File: c.Path, Warning: true,
		Text: "a copy of " + path.Base(c.Of) + " that a synced folder left; not read (ashbook check --fold puts back what is in it)"}
}

// Folded is the outcome of folding one copy into its file.
type Folded struct {
	Copy
	Conflicts []merge.Conflict // conflicts: places that both changed
	Left      string           // why the copy was not deleted; "" if it was
}

// Fold merges each copy by meaning into the file it is a copy of. The common base is
// the version in history most like the copy. A copy is deleted once history has its
// content; a copy of another cook stays. It fails with ctx's error, with
// history.ErrNotUnderGit, or if a file cannot be written.
func (f *Folder) Fold(ctx context.Context) (all []Folded, err error) {
	if err := f.writable(); err != nil {
		return nil, err
	}
	for _, c := range f.Copies() {
		if ctx.Err() != nil {
			return all, ctx.Err()
		}
		done, err := f.fold(c)
		if err != nil {
			return all, err
		}
		all = append(all, done)
	}
	return all, nil
}

func (f *Folder) fold(c Copy) (done Folded, err error) {
	done.Copy = c
	text, err := f.Bytes(c.Path)
	if err != nil {
		done.Left = err.Error()
		return done, nil
	}
	if err := f.takeIn(c.Of, f.keep.Edit); errors.As(err, new(Half)) {
		done.Left = err.Error()
		return done, nil
	} else if err != nil {
		return done, err
	}
	past, err := f.repo.Versions(c.Of, 0)
	if err != nil {
		return done, err
	}
	sum := history.Sum(text)
	if slices.ContainsFunc(past, func(v history.Version) bool { return strings.Contains(v.Message, sum) }) {
		return done, f.dropCopy(&done, text) // only the deletion was left to do
	}
	base, err := f.nearest(c.Of, past, text)
	if err != nil {
		return done, err
	}
	now, err := f.Bytes(c.Of)
	if err != nil {
		return done, err
	}
	if !f.sameThing(c.Of, now, text) {
		done.Left = "it is another cook than " + path.Base(c.Of) + ": give it a name of its own"
		return done, nil
	}
	info, err := os.Stat(f.full(c.Path))
	if err != nil {
		return done, err
	}
	_, err = f.EditFile(c.Of, func(now []byte) (merged []byte, err error) {
		ours := merge.Version{Text: now}
		if len(past) > 0 {
			ours.By, ours.At = past[0].Who, past[0].When
		}
		merged, done.Conflicts = merge.File(c.Of, base, ours, merge.Version{Text: text, At: info.ModTime()}, f.reading())
		return merged, nil
	}, fmt.Sprintf("%s: put back from %s\n\n%s\n", strings.TrimSuffix(path.Base(c.Of), path.Ext(c.Of)), path.Base(c.Path), sum))
	if err != nil {
		return done, err
	}
	return done, f.dropCopy(&done, text)
}

// dropCopy deletes a copy whose text is in history.
func (f *Folder) dropCopy(done *Folded, text []byte) error {
	if err := f.Flush(); err != nil {
		return err
	}
	if why := f.Waiting(); why != "" {
		done.Left = "what was in it is put back, but not in history yet: " + why
		return nil
	}
	if now, err := f.Bytes(done.Path); err != nil || !bytes.Equal(now, text) {
		done.Left = "it has been changed meanwhile"
		return nil
	}
	if err := os.Remove(f.full(done.Path)); err != nil {
		return err
	}
	if _, err := f.repo.Head(done.Path); err == nil {
		return f.keep.TakeIn([]string{done.Path}, false)
	}
	return nil
}

// nearest returns the version of a file most similar to text: the one with the fewest
// lines that only one of them has, and of equals the newest. It returns nil for none.
func (f *Folder) nearest(p string, past []history.Version, text []byte) (best []byte, err error) {
	least := -1
	for _, v := range past {
		if v.Removed {
			continue
		}
		data, err := f.repo.At(v.Hash, p)
		if err != nil {
			return nil, err
		}
		if n := apartBy(data, text); least < 0 || n < least {
			best, least = data, n
		}
	}
	return best, nil
}

// apartBy returns how many lines only one of two texts has.
func apartBy(a, b []byte) (n int) {
	count := map[string]int{}
	for l := range bytes.Lines(a) {
		count[string(bytes.TrimSpace(l))]++
	}
	for l := range bytes.Lines(b) {
		count[string(bytes.TrimSpace(l))]--
	}
	for _, d := range count {
		n += max(d, -d)
	}
	return n
}

// sameThing reports whether two texts are of one cook: they have a common entry, or, if
// one has no entries, the same title and cut. Any other files are the same if their
// names are.
func (f *Folder) sameThing(p string, a, b []byte) bool {
	if !strings.HasPrefix(p, cooksDir+"/") || path.Ext(p) != cookEnd {
		return true
	}
	one, err1 := f.parse(p, a)
	two, err2 := f.parse(p, b)
	if err1 != nil || err2 != nil {
		return apartBy(a, b) < bytes.Count(a, []byte("\n"))
	}
	if len(one.Cook.Entries) == 0 || len(two.Cook.Entries) == 0 {
		return one.Cook.Title == two.Cook.Title && one.Cook.Cut == two.Cook.Cut
	}
	return slices.ContainsFunc(one.Cook.Entries, func(e journal.Entry) bool {
		return slices.ContainsFunc(two.Cook.Entries, func(o journal.Entry) bool { return e.Time.Equal(o.Time) && e.Body() == o.Body() })
	})
}
