package listen

import (
	"errors"
	"net"
	"net/netip"
)

// Reach is who can reach an address.
type Reach uint8

const (
	Here    Reach = iota // only this machine
	Network              // other machines on its network too
	Every                // every address of this machine
)

// ReachOf says who can reach an address with a port, such as "127.0.0.1:8787". A host
// name other than localhost counts as reachable from the network.
func ReachOf(address string) (Reach, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return Network, errors.New("expected an address and a port such as 127.0.0.1:8787")
	}
	switch ip, err := netip.ParseAddr(host); {
	case host == "localhost", err == nil && ip.IsLoopback():
		return Here, nil
	case host == "", err == nil && ip.IsUnspecified():
		return Every, nil
	}
	return Network, nil
}

// Near returns the addresses of this machine that others on its network can reach.
func Near() (near []net.IP) {
	all, _ := net.InterfaceAddrs()
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() && n.IP.To4() != nil {
			near = append(near, n.IP)
		}
	}
	return near
}
