package tui_test

import (
	"os"
	"reflect"
	"testing"

	"ashbook/tui/component/entry"
	"ashbook/tui/screen/first"
	"ashbook/tui/screen/hold"
	"ashbook/tui/screen/reader"
	"ashbook/tui/screen/ready"
	"ashbook/tui/screen/shelf"
	"ashbook/tui/screen/tasting"
	"ashbook/tui/screen/timeline"
	"ashbook/tui/screen/versions"
	"ashbook/tui/screen/watch"
	"ashbook/tui/screen/workback"
)

// TestPortsAreNarrow counts the methods of each screen's Port, with those of the entry
// line. A screen needs 2 to 6 (chosen).
func TestPortsAreNarrow(t *testing.T) {
	ports := map[string]reflect.Type{
		"first": reflect.TypeFor[first.Port](), "hold": reflect.TypeFor[hold.Port](), "reader": reflect.TypeFor[reader.Port](),
		"ready": reflect.TypeFor[ready.Port](), "shelf": reflect.TypeFor[shelf.Port](), "tasting": reflect.TypeFor[tasting.Port](),
		"timeline": reflect.TypeFor[timeline.Port](), "versions": reflect.TypeFor[versions.Port](), "watch": reflect.TypeFor[watch.Port](),
		"workback": reflect.TypeFor[workback.Port](), "the entry line": reflect.TypeFor[entry.Port](),
	}
	for name, port := range ports {
		if n := port.NumMethod(); n < 2 || n > 6 {
			t.Errorf("%s asks for %d methods", name, n)
		}
	}
	screens, err := os.ReadDir("screen")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range screens {
		if ports[s.Name()] == nil {
			t.Errorf("screen/%s is not counted", s.Name())
		}
	}
}
