package pages

import (
	"context"
	"fmt"
	"slices"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/page"
	"ashbook/report/photo"
)

// picture is a picture file of a cook and the words noted with it.
type picture struct{ name, caption string }

// pictures returns the pictures that the notes name, in order, then the others next to
// the cook's file.
func (m *Maker) pictures(c *journal.Cook) []picture {
	var out []picture
	add := func(name, caption string) {
		if !slices.ContainsFunc(out, func(p picture) bool { return p.name == name }) {
			out = append(out, picture{name, caption})
		}
	}
	for _, e := range c.Entries {
		for _, it := range e.Items {
			if it.Act == journal.Photo && it.Detail != "" {
				caption := measure.FormatTime(e.Time, measure.Clock, m.settings.Units) + " " + it.Detail
				if e.Words != "" {
					caption += " — " + e.Words
				}
				add(it.Detail, caption)
			}
		}
	}
	beside, _ := m.app.Folder().Pictures(c.ID, photo.Named)
	for _, name := range beside {
		add(name, name)
	}
	return out
}

// photos prepares the photographs of a cook for its page, one at a time. lacking says
// which are left out and why. It fails with ctx's error.
func (m *Maker) photos(ctx context.Context, c *journal.Cook) (out []page.Photo, lacking []string, err error) {
	all := m.pictures(c)
	if n := len(all) - photo.Most; n > 0 {
		all = all[:photo.Most]
		lacking = append(lacking, fmt.Sprintf("Left out: %s beyond the %d that fit on a page", measure.Count(n, "photograph"), photo.Most))
	}
	for i, p := range all {
		data, err := m.app.Folder().Picture(c.ID, p.name, photo.MostBytes)
		if err != nil {
			lacking = append(lacking, "Left out: "+err.Error())
			continue
		}
		made, err := photo.Prepare(ctx, p.caption, data)
		switch {
		case ctx.Err() != nil:
			return nil, nil, ctx.Err()
		case err != nil:
			lacking = append(lacking, fmt.Sprintf("Left out: %q: %v", p.name, err))
		default:
			out = append(out, made)
		}
		if m.Shrinking != nil {
			m.Shrinking(i+1, len(all))
		}
	}
	return out, lacking, nil
}
