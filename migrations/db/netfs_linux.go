package db

import (
	"fmt"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// networkNames are the file systems on which SQLite's locks and shared memory
// do not work between machines, by statfs(2) magic number (linux/magic.h).
var networkNames = map[int64]string{
	0x6969:     "NFS",
	0x517b:     "SMB",
	0xff534d42: "CIFS",
	0xfe534d42: "SMB2",
	0x00c36400: "Ceph",
	0x5346414f: "AFS",
	0x6b414653: "AFS",
	0x01021997: "9P",
	0x73757245: "Coda",
	0x0bd00bd0: "Lustre",
	0x01161970: "GFS2",
	0x7461636f: "OCFS2",
	0x47504653: "GPFS",
	0x65735546: "FUSE",
}

// networkWarnings warns if file lies on a network file system.
func networkWarnings(file string) []string {
	var st unix.Statfs_t
	if err := unix.Statfs(filepath.Dir(file), &st); err != nil {
		return nil // opening the file will say what is wrong
	}
	return networkWarning(file, int64(st.Type))
}

func networkWarning(file string, magic int64) []string {
	name, ok := networkNames[magic&0xffffffff] // the field is 32 bits wide and signed on some machines
	if !ok {
		return nil
	}
	return []string{fmt.Sprintf("%s lies on a %s file system: two machines that write there can damage it; "+
		"keep it on a local disk or use PostgreSQL", file, name)}
}
