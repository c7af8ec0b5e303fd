package syncer_test

import (
	"os"
	"testing"

	"ashbook/journal/journaltest"
)

func TestMain(m *testing.M) {
	journaltest.InMemory()
	os.Exit(m.Run())
}
