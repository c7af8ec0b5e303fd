//go:build unix

package carrier

import (
	"os/exec"
	"syscall"
)

// alone makes the program run without a terminal, so that it cannot ask questions, and
// end together with every process it started.
func alone(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
