//go:build !unix

package carrier

import "os/exec"

// alone does nothing where there are no process groups.
func alone(*exec.Cmd) {}
