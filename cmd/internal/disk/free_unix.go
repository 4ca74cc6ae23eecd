//go:build linux || darwin

package disk

import (
	"fmt"

	"golang.org/x/sys/unix"
)

// Free returns the share of the space of a folder's file system, 0 to 1, that this
// program may still fill. What is reserved for the administrator does not count.
func Free(folder string) (float64, error) {
	var st unix.Statfs_t
	if err := unix.Statfs(folder, &st); err != nil {
		return 0, fmt.Errorf("free space of %s: %w", folder, err)
	}
	used := st.Blocks - st.Bfree
	if used+st.Bavail == 0 {
		return 1, nil // it has no size, as some that are no disks
	}
	return float64(st.Bavail) / float64(used+st.Bavail), nil
}
