package store

// Waiting says why what is saved is not in history yet: a clause in plain words
// without paths, such as "a merge is in progress" or "the disk is full". It is ""
// when history has everything, or when Flush has not been tried since the last save.
//
// It never means that a save failed: Create, Edit, Append and Grow return an error
// for that. What waits is on the disk, in its file and in the pending record, and
// every later Flush or opening of the journal tries again. Rows of a growing file
// that may wait for more rows do not count.
func (k *Store) Waiting() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.waiting
}
