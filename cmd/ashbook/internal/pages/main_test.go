package pages

import (
	"os"
	"testing"

	"ashbook/journal/journaltest"
)

func TestMain(m *testing.M) {
	journaltest.InMemory()
	os.Exit(m.Run())
}
