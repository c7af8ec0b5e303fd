//go:build ignore

// Command generate writes the sample journal again, and the truth behind it.
// Run it with go generate in the folder samples.
package main

import (
	"log"
	"os"
	"path/filepath"

	"ashbook/samples/invent"
)

func main() {
	files, cooks, err := invent.Hall()
	if err != nil {
		log.Fatal(err)
	}
	if err := os.RemoveAll("journal"); err != nil {
		log.Fatal(err)
	}
	for path, data := range files {
		name := filepath.Join("journal", filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			log.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			log.Fatal(err)
		}
	}
	if err := os.WriteFile("journal-truth.csv", []byte(invent.TruthCSV(cooks)), 0o644); err != nil {
		log.Fatal(err)
	}
}
