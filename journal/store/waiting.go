package store

// Waiting says why what is saved is not committed yet, in plain words without paths,
// such as "a merge is in progress" or "the disk is full". It is "" if everything is
// committed, or if Flush was not called since the last save.
//
// It never means that a save failed; Create, Edit, Append and Grow return an error for
// that. A save that waits is on disk, in its file and in the pending file, and each
// later Flush or opening tries again to commit it. Rows of a growing file that may wait
// for more rows do not count.
func (k *Store) Waiting() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.waiting
}
