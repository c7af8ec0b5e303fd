package cookfile

import (
	"errors"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile/front"

	"go.yaml.in/yaml/v4"
)

// Keys that are edited directly.
const (
	holdKey    = "hot hold"
	tastingKey = "tasting"
	asideKey   = "aside"
)

var errZero = errors.New("cook file: nothing was read, so nothing can be edited")

// Set writes a value into the front matter: Set("70 °C", "aim", "core"). An item of a
// list is given by its number from "0"; the number after the last adds one. A missing
// key is added: at the top level as a line before the closing fence, below it inside
// braces. The value is quoted only if YAML needs it. If the value cannot be read, the
// new File has a Problem. A list or mapping is never replaced by one value.
func (f File) Set(value string, key ...string) (File, error) {
	return f.edit(func(d *front.Document) (*front.Document, error) { return d.Set(value, key) })
}

// SetIn does what Set does, for the front matter of a file that is not a cook, such as
// a pit or a mix.
func SetIn(path string, data []byte, value string, key ...string) ([]byte, error) {
	d, err := front.Read(path, string(data))
	if err != nil {
		return nil, err
	}
	if d, err = d.Set(value, key); err != nil {
		return nil, err
	}
	return []byte(d.Text()), nil
}

// UnsetIn does what Unset does, for the front matter of a file that is not a cook.
func UnsetIn(path string, data []byte, key ...string) ([]byte, error) {
	d, err := front.Read(path, string(data))
	if err != nil {
		return nil, err
	}
	if d, err = d.Unset(key); err != nil {
		return nil, err
	}
	return []byte(d.Text()), nil
}

// ValueIn returns a value of a file's front matter as written; "" if it is not there.
// ok is false for a list or a mapping, whose parts must be changed one by one.
func ValueIn(path string, data []byte, key ...string) (value string, ok bool) {
	d, err := front.Read(path, string(data))
	if err != nil {
		return "", false
	}
	switch n := front.At(d.Root(), key); {
	case n == nil || front.IsNull(n):
		return "", true
	case n.Kind == yaml.ScalarNode:
		return n.Value, true
	}
	return "", false
}

// Unset removes a key, or an item of a list, from the front matter. If it is not there,
// the File is unchanged.
func (f File) Unset(key ...string) (File, error) {
	return f.edit(func(d *front.Document) (*front.Document, error) { return d.Unset(key) })
}

func (f File) edit(change func(*front.Document) (*front.Document, error)) (File, error) {
	if f.doc == nil {
		return File{}, errZero
	}
	doc, err := change(f.doc)
	if err != nil {
		return File{}, err
	}
	return newFile(doc, f.opt), nil
}

// PutAside writes into the file why the cook is left out of reports.
func (f File) PutAside(why string) (File, error) {
	if why = oneLine(why); why == "" {
		why = "true"
	}
	return f.Set(why, asideKey)
}

// TakeBack undoes PutAside.
func (f File) TakeBack() (File, error) { return f.Unset(asideKey) }

// PutTaste adds an eater's row to the tasting list. If the eater has a row, it sets the
// scores given and removes those not given. Other rows and unknown keys of the row
// stay.
func (f File) PutTaste(t journal.Taste) (File, error) {
	if strings.TrimSpace(t.Eater) == "" {
		return File{}, errors.New("tasting: the eater is missing; expected initials")
	}
	row := eaterRow(&f.Cook, t.Eater)
	if row < 0 {
		path := []string{tastingKey, strconv.Itoa(len(f.Cook.Tasting))}
		return f.edit(func(d *front.Document) (*front.Document, error) { return d.SetFlow(written(&t, true), path) })
	}
	return f.edit(func(d *front.Document) (_ *front.Document, err error) {
		for _, m := range keysOf(&t) {
			path := []string{tastingKey, strconv.Itoa(row), m.Name}
			switch s := textOf(m.To); {
			case s == "":
				d, err = d.Unset(path)
			case !d.Holds(path, s):
				d, err = d.Set(s, path)
			}
			if err != nil {
				return nil, err
			}
		}
		return d, nil
	})
}
