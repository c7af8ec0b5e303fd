package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/mixfile"
)

// SettingsPath is the path of the user's settings.
const SettingsPath = settingsName

// MixPath returns the path of a mix's file.
func MixPath(name string) string { return path.Join(mixesDir, name+".md") }

// Choice is one value of journal.md, of a pit's file or of a mix's file that can be
// changed.
type Choice struct {
	Key     []string
	Written string // value in the file; "" if there is none
	What    string // its meaning in a few words
}

// Choices returns the values that the file at p can have. It fails with fs.ErrNotExist
// if there is no such file, as for a pit that only cooks name.
func (f *Folder) Choices(p string) (all []Choice, err error) {
	data, err := f.Bytes(p)
	if err != nil {
		return nil, err
	}
	add := func(what string, key ...string) {
		if written, ok := cookfile.ValueIn(p, data, key...); ok {
			all = append(all, Choice{Key: key, Written: written, What: what})
		}
	}
	keys := (&journal.Settings{}).Keys()
	switch path.Dir(p) {
	case pitsDir:
		keys = (&journal.Pit{}).Keys()
	case mixesDir:
		m, _, err := mixfile.Parse(p, data)
		if err != nil {
			return nil, err
		}
		add("what the parts are enough for: 1 kg meat, 1 head or 1 l", "for")
		for _, part := range m.Parts {
			add("how much of it, such as 12 g or 2 tbsp", "parts", part.Name)
		}
		return all, nil
	}
	for _, k := range keys {
		if k.Name != "recheck" {
			add(k.Says, k.Name)
			continue
		}
		for _, act := range journal.Acts() {
			if act.DefaultRecheck() > 0 {
				add("when to look again after it, such as 20 min", k.Name, act.Word())
			}
		}
	}
	return all, nil
}

// Choose writes a value into the file at p, or removes its key if value is "". No other
// byte changes. If the value cannot be read, it writes nothing and the error says what
// was expected.
func (f *Folder) Choose(p, value string, key ...string) error {
	_, err := f.EditFile(p, func(old []byte) ([]byte, error) {
		edit := cookfile.SetIn
		if value == "" {
			edit = func(p string, data []byte, _ string, key ...string) ([]byte, error) {
				return cookfile.UnsetIn(p, data, key...)
			}
		}
		data, err := edit(p, old, value, key...)
		if err != nil {
			return nil, err
		}
		was, err := problemsIn(p, old)
		if err != nil {
			return nil, err
		}
		is, err := problemsIn(p, data)
		for _, problem := range is {
			if !slices.ContainsFunc(was, func(o journal.Problem) bool { return o.Text == problem.Text }) {
				err = errors.Join(err, errors.New(problem.Text))
			}
		}
		return data, err
	}, fmt.Sprintf("%s: %s %s", p, strings.Join(key, " "), value))
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is not there; ashbook init makes it", p)
	}
	return err
}

// problemsIn returns what is wrong in a file of settings.
func problemsIn(p string, data []byte) (problems []journal.Problem, err error) {
	switch path.Dir(p) {
	case pitsDir:
		_, problems, err = cookfile.ParsePit(p, data)
	case mixesDir:
		_, problems, err = mixfile.Parse(p, data)
	default:
		_, problems, err = cookfile.ParseSettings(p, data)
	}
	return problems, err
}
