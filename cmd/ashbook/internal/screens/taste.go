package screens

import (
	"ashbook/cmd/ashbook/internal/app"
	"ashbook/journal"
	"ashbook/tui/backend"
)

func (o *Backend) Taste(id string, t journal.Taste) error {
	defer o.writing()()
	defer o.forgetPast()
	_, err := o.app.Taste(id, []journal.Taste{t}, nil)
	return err
}

func (o *Backend) Write(id string, what journal.After, text string) (backend.Written, error) {
	defer o.writing()()
	defer o.forgetPast()
	got, err := o.app.Taste(id, nil, []app.Written{{What: what, Is: text}})
	if err != nil {
		return backend.Written{}, err
	}
	o.remember(&got.Cook)
	w := got.Written[0]
	return backend.Written{What: w.What, Was: w.Was, Is: w.Is, Flags: w.Flags}, nil
}
