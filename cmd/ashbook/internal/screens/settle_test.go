package screens

import (
	"bytes"
	"testing"

	"ashbook/journal/cookfile"
)

// Deciding between two people's values is an edit like any other: undo restores every
// byte, and if something was changed since, that change stays.
func TestSettleAndUndo(t *testing.T) {
	o := hall(t)
	if _, err := o.app.Folder().Edit(night, func(f cookfile.File) (cookfile.File, error) {
		return f.Set("2026-09-19T12:30+01:00", cookfile.AlsoKey, "0", "serve")
	}, "by hand"); err != nil {
		t.Fatal(err)
	}
	c, err := o.Load(night)
	if err != nil || len(c.Cook.Others) != 1 {
		t.Fatalf("%v, %v", c.Cook.Others, err)
	}
	unsettled := fileOf(t, o, night)
	for _, take := range []bool{false, true} {
		if n, err := o.Settle(night, c.Cook.Others[0], take); err != nil || n.Text == "" {
			t.Fatalf("%+v, %v", n, err)
		}
		if bytes.Contains(fileOf(t, o, night), []byte("also:")) {
			t.Errorf("the row is left:\n%s", fileOf(t, o, night))
		}
		if u := o.Understand(night, o.Now(), "undo"); u.Confirm() {
			t.Errorf("undo asks: %+v", u)
		}
		if n, err := o.Undo(night); err != nil || !n.TakenBack {
			t.Fatalf("%+v, %v", n, err)
		}
		if got := fileOf(t, o, night); !bytes.Equal(got, unsettled) {
			t.Errorf("undone:\n%s\nbefore:\n%s", got, unsettled)
		}
	}
	if _, err := o.Settle(night, c.Cook.Others[0], true); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Settle(night, c.Cook.Others[0], true); err == nil {
		t.Error("settled twice")
	}
	if _, err := o.Note(night, "lid"); err != nil {
		t.Fatal(err)
	}
	withLid := fileOf(t, o, night)
	if _, err := o.app.Folder().Edit(night, func(f cookfile.File) (cookfile.File, error) { return f.Set("25", "heads") }, "by hand"); err != nil {
		t.Fatal(err)
	}
	for _, what := range []string{"the lid", "what was settled"} { // the last change first
		if n, err := o.Undo(night); err != nil || !n.TakenBack {
			t.Fatalf("%s: %+v, %v", what, n, err)
		}
	}
	got := fileOf(t, o, night)
	if bytes.Contains(withLid, []byte("also:")) || !bytes.Contains(got, []byte("serve: 2026-09-19T13:00")) || !bytes.Contains(got, []byte("heads: 25")) || !bytes.Contains(got, []byte("also:")) {
		t.Errorf("undone:\n%s", got)
	}
}
