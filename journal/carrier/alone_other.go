//go:build !unix

package carrier

import "os/exec"

// alone does nothing on systems without process groups.
func alone(*exec.Cmd) {}
