package history

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/storage"

	"ashbook/journal/disk"
)

// Inbox is a temporary repository inside git's folder. It receives what a remote sends
// until that has been checked, and reads the journal's objects too. Nothing in it
// reaches the journal before Admit. Close or the next NewInbox deletes it, so a fetch
// that is stopped, killed or refused leaves nothing.
type Inbox struct {
	repo *Repo
	dir  string
	quarantine
}

const inbox = "inbox-"

// NewInbox makes an empty inbox. The caller must hold LockSync.
func (r *Repo) NewInbox() (*Inbox, error) {
	old, err := filepath.Glob(filepath.Join(r.state, inbox+"*"))
	if err != nil {
		return nil, err
	}
	for _, dir := range old {
		os.RemoveAll(dir) // if something still writes to the folder, it is deleted the next time
	}
	// Each inbox has its own name, since a transfer that was given up may still write
	// to its inbox.
	b := &Inbox{repo: r, dir: filepath.Join(r.state, fmt.Sprintf("%s%08x", inbox, rand.Uint32()))}
	b.quarantine = quarantine{r.Disk, r.Perm(), filepath.Join(b.dir, "objects")}
	objects, err := filepath.Abs(filepath.Join(r.common, "objects"))
	if err != nil {
		return nil, err
	}
	config, err := filepath.Abs(filepath.Join(r.common, "config"))
	if err != nil {
		return nil, err
	}
	files := []struct{ name, text string }{
		{"HEAD", "ref: refs/heads/inbox\n"},
		{"config", fmt.Sprintf("[include]\n\tpath = %q\n[core]\n\trepositoryformatversion = 0\n\tbare = true\n", filepath.ToSlash(config))},
		{"objects/info/alternates", filepath.ToSlash(objects) + "\n"},
		{"objects/pack/", ""},
		{"refs/heads/", ""},
	}
	for _, f := range files {
		name := filepath.Join(b.dir, filepath.FromSlash(f.name))
		dir := filepath.Dir(name)
		if f.text == "" {
			dir = name
		}
		if err := disk.MkdirAll(disk.Unflushed(r.Disk), dir, b.perm); err != nil {
			return nil, err
		}
		if f.text == "" {
			continue
		}
		if err := os.WriteFile(name, []byte(f.text), 0o666); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Tip returns the commit that the git program fetched into the inbox; "" for none.
func (b *Inbox) Tip() string { return refIn(b.storage(), "refs/heads/inbox") }

// Know tells the git program, by references in the inbox, which commits the journal
// has, so that they are not sent again. Commits that the journal lacks are ignored.
func (b *Inbox) Know(commits []string) error {
	o, err := b.Objects()
	if err != nil {
		return err
	}
	for i, h := range o.has(commits) {
		name := filepath.Join(b.dir, "refs", "heads", fmt.Sprint("known", i))
		if err := os.WriteFile(name, []byte(h.String()+"\n"), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// Dir returns the folder of the inbox, a bare repository.
func (b *Inbox) Dir() string { return b.dir }

// Objects reads the objects of the journal and of the inbox.
func (b *Inbox) Objects() (*Objects, error) {
	st, err := b.repo.open()
	if err != nil {
		return nil, &Postponed{unwritable(err)}
	}
	return b.repo.objects(beside(st, storedIn(b.objects)))
}

// beside returns a store that also looks for objects in other.
func beside(st storage.Storer, other *stored) storage.Storer {
	both, ok := st.(borrowing)
	if !ok {
		both.Storer = st
	}
	both.in = append(slices.Clone(both.in), other)
	return both
}

// Copy copies from another store what is reachable from tip but not from known. It
// fails with TooLarge if an object is larger than any object of a journal.
func (b *Inbox) Copy(from *Objects, tip string, known ...string) error {
	var all []plumbing.Hash
	err := from.New(tip, known, func(n New) error {
		if n.Size > mostBytes {
			return TooLarge{n.Path, n.Size}
		}
		if n.ours() {
			all = append(all, n.Hash)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return b.add(from, all)
}

// TooLarge is the error for an object that is larger than any object of a journal.
type TooLarge struct {
	Path string
	Size int64 // in bytes
}

func (t TooLarge) Error() string {
	return fmt.Sprintf("%s has %d MB, larger than anything a journal has", t.Path, t.Size>>20)
}

// Unpack adds the objects of a pack to the inbox.
func (b *Inbox) Unpack(from io.Reader) error {
	limit := &io.LimitedReader{R: from, N: mostPack}
	err := b.pack(func(to io.Writer) error {
		_, err := io.Copy(to, limit)
		return err
	})
	if limit.N == 0 {
		return errors.New("it sends more than a journal ever has")
	}
	return err
}

// Loosen turns a small pack into loose objects. Otherwise each fetch would add a pack,
// and looking up an object searches all packs.
func (b *Inbox) Loosen() error {
	packs, err := filepath.Glob(filepath.Join(b.objects, "pack", "*.pack"))
	if err != nil || len(packs) == 0 {
		return err
	}
	st := b.storage()
	var all []plumbing.Hash
	objects, err := st.IterEncodedObjects(plumbing.AnyObject)
	if err != nil {
		return err
	}
	tooMany := errors.New("too many")
	err = objects.ForEach(func(obj plumbing.EncodedObject) error {
		if all = append(all, obj.Hash()); len(all) > fewObjects {
			return tooMany
		}
		return nil
	})
	if errors.Is(err, tooMany) {
		return nil
	}
	if err == nil {
		err = b.add(&Objects{st: borrowing{Storer: st, in: []*stored{storedIn(b.objects)}}}, all)
	}
	if err != nil {
		return err
	}
	left, err := filepath.Glob(filepath.Join(b.objects, "pack", "*"))
	for _, name := range left {
		err = errors.Join(err, b.disk.Remove(name))
	}
	return err
}

// Admit moves everything in the inbox into the journal's repository.
func (b *Inbox) Admit() error {
	return b.admit(b.repo.Disk, filepath.Join(b.repo.common, "objects"), true)
}

// Close deletes the inbox.
func (b *Inbox) Close() error { return os.RemoveAll(b.dir) }
