package lineedit

// Drafts keeps texts that were typed and then left, each under the name of what it was
// typed for, so that nothing typed is lost. The zero value has none.
type Drafts struct{ texts map[string]string }

// Leave keeps the text of the line, unless it is the one the line began with.
func (d *Drafts) Leave(name string, l *Line, began string) (kept bool) {
	text := l.Text()
	if text == "" || text == began {
		return false
	}
	if d.texts == nil {
		d.texts = map[string]string{}
	}
	d.texts[name] = text
	return true
}

// Resume returns the text left under that name, or began if there is none, and forgets
// it.
func (d *Drafts) Resume(name, began string) string {
	text, ok := d.texts[name]
	if !ok {
		return began
	}
	delete(d.texts, name)
	return text
}
