package db

import (
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// The numbers are those of the kernel's header linux/magic.h, taken from
// golang.org/x/sys/unix where it has them.
func TestNetworkFileSystemIsWarnedAbout(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		magic int64
		want  string
	}{
		{unix.NFS_SUPER_MAGIC, "NFS"},
		{unix.SMB_SUPER_MAGIC, "SMB"},
		{unix.CIFS_SUPER_MAGIC, "CIFS"},
		{int64(int32(-0xacb2be)), "CIFS"}, // 0xff534d42 where the field is a signed 32-bit one
		{unix.SMB2_SUPER_MAGIC, "SMB2"},
		{unix.CEPH_SUPER_MAGIC, "Ceph"},
		{unix.AFS_SUPER_MAGIC, "AFS"},
		{unix.V9FS_MAGIC, "9P"},
		{unix.CODA_SUPER_MAGIC, "Coda"},
		{unix.OCFS2_SUPER_MAGIC, "OCFS2"},
		{unix.FUSE_SUPER_MAGIC, "FUSE"},
		{unix.EXT4_SUPER_MAGIC, ""},
		{unix.XFS_SUPER_MAGIC, ""},
		{unix.BTRFS_SUPER_MAGIC, ""},
		{unix.TMPFS_MAGIC, ""},
		{unix.OVERLAYFS_SUPER_MAGIC, ""},
	} {
		got := networkWarning("/mnt/crib/shop.db", c.magic)
		if c.want == "" {
			if got != nil {
				t.Errorf("%#x: warned about a local file system: %q", c.magic, got)
			}
			continue
		}
		if len(got) != 1 || !strings.Contains(got[0], "a "+c.want+" file system") || !strings.Contains(got[0], "/mnt/crib/shop.db") {
			t.Errorf("%#x: warnings %q, want one that names the file and %s", c.magic, got, c.want)
		}
	}
}

// Runs statfs on a real folder: the build's own temporary one is local.
func TestLocalFileIsNotWarnedAbout(t *testing.T) {
	t.Parallel()
	d, err := Open(t.Context(), "sqlite:"+filepath.Join(t.TempDir(), "shop.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if got := d.Warnings(); len(got) > 0 {
		t.Errorf("warnings %q about a local file", got)
	}
}
