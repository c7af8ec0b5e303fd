package text

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"ashbook/report/page"
)

// fill sets every text below v and gives every list two elements.
func fill(v reflect.Value, text string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(text)
	case reflect.Float64:
		v.SetFloat(1)
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), text)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), text)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range v.Len() {
			fill(v.Index(i), text)
		}
	}
}

// A page with harmful text in any field is rendered exactly as one whose text was
// cleaned before.
func TestAsIfCleaned(t *testing.T) {
	const evil = "ab \x1b[31m\u202ecd\n5 kg \U000e0041¹"
	made := func(text string) (p page.Page) {
		fill(reflect.ValueOf(&p).Elem(), text)
		for i := range p.Sections {
			p.Sections[i].Table.Rows[1].Heading = "" // a row of cells
		}
		return p
	}
	raw, clean := made(evil), made(page.Clean(evil))
	for part, only := range map[string]func(*page.Page){
		"all": func(*page.Page) {},
		"titles": func(p *page.Page) {
			for i := range p.Sections {
				fill(reflect.ValueOf(&p.Sections[i].Table.Rows).Elem(), "x 1")
				p.Sections[i].Table.Rows[1].Heading = ""
			}
		},
		"cells": func(p *page.Page) {
			for i := range p.Sections {
				p.Sections[i].Table.Columns = []page.Column{{}, {}}
			}
		},
	} {
		raw, clean := made(evil), made(page.Clean(evil))
		only(&raw)
		only(&clean)
		for _, width := range []int{0, 24, 40, 60, 80, 132, 200} {
			for open := -1; open < 12; open++ {
				got, want := fmt.Sprint(Set(raw, width, open)), fmt.Sprint(Set(clean, width, open))
				if got != want {
					t.Fatalf("%s at %d, %d open:\n%s\nand cleaned before\n%s", part, width, open, got, want)
				}
				if strings.ContainsAny(got, "\x1b\u202e\U000e0041") {
					t.Fatalf("%s at %d: harmful:\n%s", part, width, got)
				}
			}
		}
	}
	if got, want := strings.Join(Linear(raw), "\n"), strings.Join(Linear(clean), "\n"); got != want || strings.ContainsAny(got, "\x1b\u202e\U000e0041") {
		t.Errorf("linear:\n%s\nand cleaned before\n%s", got, want)
	}
}
