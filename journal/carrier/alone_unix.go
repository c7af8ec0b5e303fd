//go:build unix

package carrier

import (
	"os/exec"
	"syscall"
)

// alone has a program run without a terminal, on which it could ask, and end with all
// that it started.
func alone(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
