package main

import (
	"ashbook/cmd/ashbook/internal/jsonout"
	"fmt"
)

func (a *program) printJSON(shape any) error { return jsonout.Write(a.out, shape) }

func (a *program) printf(format string, args ...any) { fmt.Fprintf(a.out, format, args...) }
