package textout

import (
	"net"
	"strings"

	"ashbook/journal/listen"
)

// Serving says at which address a cook is shown. alone means that only this machine can
// open it.
func Serving(name, url string, alone, notes bool) []string {
	out := lines{name + " is at " + url}
	if alone {
		out.add("Only this machine can open it. For a phone, name this machine's address: %s", NearAddresses())
	} else {
		out.add("It uses plain http: anyone on your network can read along and learn the address.")
	}
	if notes {
		out.add("Anyone who has the address can note, and every note carries their name.")
	}
	return append(out, "It ends with the cook, or when you press Ctrl-C.")
}

// NearAddresses lists the flags that show a cook to a phone on the same network.
func NearAddresses() string {
	near := listen.Near()
	if len(near) == 0 {
		return "such as --serve=192.168.1.20:8788"
	}
	var flags []string
	for _, ip := range near {
		flags = append(flags, "--serve="+net.JoinHostPort(ip.String(), "8788"))
	}
	return strings.Join(flags, " or ")
}
