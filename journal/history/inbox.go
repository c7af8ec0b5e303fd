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

// Inbox is a separate repository inside git's folder that receives what another one sends
// until it has been checked. It borrows the journal's objects. Nothing of it reaches the
// journal before Admit. Close, or the next NewInbox, removes it, so a fetch that is
// stopped, killed or refused leaves nothing.
type Inbox struct {
	repo *Repo
	dir  string
	quarantine
}

const inbox = "inbox-"

// NewInbox makes an empty inbox. The caller holds LockSync.
func (r *Repo) NewInbox() (*Inbox, error) {
	old, err := filepath.Glob(filepath.Join(r.state, inbox+"*"))
	if err != nil {
		return nil, err
	}
	for _, dir := range old {
		os.RemoveAll(dir) // what is still being written to goes the next time
	}
	// Each has a name of its own: a carrier that was given up may still be writing.
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

// Tip is the commit that the git program has put into the inbox, "" if none.
func (b *Inbox) Tip() string { return refIn(b.storage(), "refs/heads/inbox") }

// Know gives the inbox references to commits of the journal, for the git program: what
// they lead to need not come once more. Those that are not there do not count.
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

// Dir is the inbox as a bare repository, for the git program.
func (b *Inbox) Dir() string { return b.dir }

// Objects are those of the journal and of the inbox.
func (b *Inbox) Objects() (*Objects, error) {
	st, err := b.repo.open()
	if err != nil {
		return nil, &Postponed{unwritable(err)}
	}
	return b.repo.objects(beside(st, storedIn(b.objects)))
}

// beside is a store that looks for objects in another folder as well.
func beside(st storage.Storer, other *stored) storage.Storer {
	both, ok := st.(borrowing)
	if !ok {
		both.Storer = st
	}
	both.in = append(slices.Clone(both.in), other)
	return both
}

// Copy copies what tip refers to and known do not from another store. It refuses objects
// larger than anything a journal has.
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

// TooLarge is the error of a file that is larger than anything a journal has.
type TooLarge struct {
	Path string
	Size int64 // bytes
}

func (t TooLarge) Error() string {
	return fmt.Sprintf("%s has %d MB, larger than anything a journal has", t.Path, t.Size>>20)
}

// Unpack takes a pack in.
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

// Loosen makes files of the objects of a small pack: each fetch would leave one more,
// and all are looked through for every object.
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

// Admit makes everything in the inbox part of the journal's repository.
func (b *Inbox) Admit() error {
	return b.admit(b.repo.Disk, filepath.Join(b.repo.common, "objects"), true)
}

// Close takes the inbox away.
func (b *Inbox) Close() error { return os.RemoveAll(b.dir) }
