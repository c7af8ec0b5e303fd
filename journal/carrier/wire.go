package carrier

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/protocol/packp"
	"github.com/go-git/go-git/v5/plumbing/protocol/packp/capability"
	"github.com/go-git/go-git/v5/plumbing/protocol/packp/sideband"
	"github.com/go-git/go-git/v5/plumbing/transport"
	"github.com/go-git/go-git/v5/plumbing/transport/http"
	"github.com/go-git/go-git/v5/plumbing/transport/ssh"

	"ashbook/journal/history"
)

// Wire transfers commits over ssh and https without the git program. It supports what
// go-git does: keys of an agent, and keys without a passphrase in the user's .ssh
// folder. Of ssh's settings it reads only a host's name and port. It has no password
// helpers. It refuses a server whose key is not in known_hosts.
type Wire struct {
	Repo   *history.Repo
	Remote history.Remote
}

// keyFiles are the files of ssh keys, the type that ssh-keygen makes by default first
// (ssh(1), -i).
var keyFiles = []string{"id_ed25519", "id_ecdsa", "id_rsa"}

// open returns the remote's client, and the ways of authentication to try.
func (w Wire) open() (transport.Transport, *transport.Endpoint, []transport.AuthMethod, error) {
	if err := usable(w.Remote); err != nil {
		return nil, nil, nil, err
	}
	at, err := transport.NewEndpoint(w.Remote.URL)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("%w: %w", ErrNoAddress, err)
	}
	switch at.Protocol {
	case "http", "https":
		return http.DefaultClient, at, []transport.AuthMethod{nil}, nil
	case "ssh":
		return ssh.DefaultClient, at, keys(at.User), nil
	}
	return nil, nil, nil, fmt.Errorf("%s: only ssh, https and folders can be reached without the git program (install it)", at.Protocol)
}

func keys(user string) (all []transport.AuthMethod) {
	if user == "" {
		user = ssh.DefaultUsername
	}
	if os.Getenv("SSH_AUTH_SOCK") != "" {
		if agent, err := ssh.NewSSHAgentAuth(user); err == nil {
			all = append(all, agent)
		}
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return all
	}
	for _, name := range keyFiles {
		if key, err := ssh.NewPublicKeysFromFile(user, filepath.Join(home, ".ssh", name), ""); err == nil {
			all = append(all, key)
		}
	}
	return all
}

// session opens a session with the first authentication that the server accepts.
func session[S transport.Session](ctx context.Context, w Wire, start func(transport.Transport, *transport.Endpoint, transport.AuthMethod) (S, error)) (S, *packp.AdvRefs, error) {
	var none S
	by, at, ways, err := w.open()
	if err != nil {
		return none, nil, err
	}
	if len(ways) == 0 {
		return none, nil, Failed{"connecting", "Permission denied: there is no ssh key here"}
	}
	for _, way := range ways {
		s, err2 := start(by, at, way)
		if err = err2; err == nil {
			var refs *packp.AdvRefs
			if refs, err = s.AdvertisedReferencesContext(ctx); err == nil || errors.Is(err, transport.ErrEmptyRemoteRepository) {
				return s, refs, nil
			}
			s.Close()
		}
		if !strings.Contains(err.Error(), "unable to authenticate") {
			break
		}
	}
	return none, nil, told(err)
}

// told translates an error of go-git or ssh into plain words. The texts are those of
// golang.org/x/crypto/ssh and its knownhosts.
func told(err error) error {
	text := err.Error()
	var dns *net.DNSError
	switch {
	case strings.Contains(text, "key mismatch"):
		text = "REMOTE HOST IDENTIFICATION HAS CHANGED"
	case strings.Contains(text, "key is unknown"), strings.Contains(text, "known_hosts"):
		text = "Host key verification failed"
	case strings.Contains(text, "unable to authenticate"):
		text = "Permission denied"
	case errors.Is(err, transport.ErrAuthenticationRequired), errors.Is(err, transport.ErrAuthorizationFailed):
		text = "Authentication failed"
	case errors.Is(err, transport.ErrRepositoryNotFound):
		text = "does not appear to be a git repository"
	case errors.As(err, &dns):
		text = "Could not resolve host"
	case strings.Contains(text, "connection refused"):
		text = "Connection refused"
	}
	return Failed{"connecting", text}
}

// Fetch fetches into the inbox. A small number of objects is stored as loose files.
func (w Wire) Fetch(ctx context.Context, into *history.Inbox, branch string, known []string) (string, error) {
	s, refs, err := session(ctx, w, transport.Transport.NewUploadPackSession)
	if err != nil {
		return "", err
	}
	defer s.Close()
	if refs == nil {
		return "", nil
	}
	tip, there := refs.References["refs/heads/"+branch]
	if !there {
		return "", nil
	}
	o, err := w.Repo.Objects()
	if err != nil {
		return "", err
	}
	if o.Known(tip.String(), known) {
		return tip.String(), nil
	}
	req := packp.NewUploadPackRequestFromCapabilities(refs.Capabilities)
	for _, c := range []capability.Capability{capability.ThinPack, capability.MultiACK, capability.MultiACKDetailed} {
		req.Capabilities.Delete(c)
	}
	req.Wants = []plumbing.Hash{tip}
	haves, err := o.Haves(known)
	if err != nil {
		return "", err
	}
	for _, h := range haves {
		req.Haves = append(req.Haves, plumbing.NewHash(h))
	}
	answer, err := s.UploadPack(ctx, req)
	if err != nil {
		return "", told(err)
	}
	defer answer.Close()
	var pack io.Reader = answer
	switch {
	case req.Capabilities.Supports(capability.Sideband64k):
		pack = sideband.NewDemuxer(sideband.Sideband64k, answer)
	case req.Capabilities.Supports(capability.Sideband):
		pack = sideband.NewDemuxer(sideband.Sideband, answer)
	}
	if err := into.Unpack(pack); err != nil {
		return "", err
	}
	return tip.String(), into.Loosen()
}

// Push sends a pack of our own and asks the remote to move its branch.
//
// Note: go-git's Remote.Push was tried and dropped: it searches the whole history for
// what to send, 51 s for 100,000 commits.
func (w Wire) Push(ctx context.Context, branch, old, tip string) (bool, error) {
	o, err := w.Repo.Objects()
	if err != nil {
		return false, err
	}
	objects, err := o.Missing(tip, old)
	if err != nil {
		return false, err
	}
	s, refs, err := session(ctx, w, transport.Transport.NewReceivePackSession)
	if err != nil {
		return false, err
	}
	defer s.Close()
	if refs == nil {
		refs = packp.NewAdvRefs()
		refs.Capabilities.Set(capability.ReportStatus)
	}
	ref := plumbing.NewBranchReferenceName(branch)
	now := refs.References[ref.String()]
	if now != plumbing.NewHash(old) {
		return false, nil
	}
	req := packp.NewReferenceUpdateRequestFromCapabilities(refs.Capabilities)
	req.Commands = []*packp.Command{{Name: ref, Old: now, New: plumbing.NewHash(tip)}}
	from, to := io.Pipe()
	go func() { to.CloseWithError(o.WritePack(to, objects)) }()
	req.Packfile = from
	report, err := s.ReceivePack(ctx, req)
	from.Close()
	if report != nil {
		if err2 := report.Error(); err2 != nil {
			err = err2
		}
	}
	switch {
	case err == nil:
		return true, nil
	case beaten(err.Error()):
		return false, nil
	}
	return false, told(err)
}
