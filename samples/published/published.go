// Package published reads tables of published values that tests compare the program
// with. Each row has its source in a column.
package published

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// Table reads a table of the package's testdata. It returns the heading and at least
// one row.
func Table(t testing.TB, name string) (head []string, rows [][]string) {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	return all[0], all[1:]
}

// Rows returns the rows of a table, each by column name.
func Rows(t testing.TB, name string) []map[string]string {
	t.Helper()
	head, rows := Table(t, name)
	var out []map[string]string
	for _, r := range rows {
		m := map[string]string{}
		for i, k := range head {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// Number parses a cell as a number.
func Number(t testing.TB, cell string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
