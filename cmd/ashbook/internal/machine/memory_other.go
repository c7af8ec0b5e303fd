//go:build !linux || !(amd64 || arm64)

package machine

// LargePages does nothing on this system.
func LargePages() {}
