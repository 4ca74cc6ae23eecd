//go:build unix

package db_test

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// nobody is the user that read-only tests run their child as when the tests run
// as root, whom no file mode stops.
const nobody = 65534

func TestReadOnlyFileOrFolderIsNamed(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name         string
		folder, file os.FileMode
	}{
		{"file", 0o777, 0o444},
		{"folder", 0o555, 0o666},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := openFolder(t)
			name := filepath.Join(dir, "shop.db")
			if err := dbtest.Open(t, "sqlite:"+name, db.WithMigrations(manySteps())).Close(); err != nil {
				t.Fatal(err)
			}
			chmod(t, name, c.file)
			chmod(t, dir, c.folder)
			t.Cleanup(func() { chmod(t, dir, 0o777) })
			wantReadOnly(t, name)
		})
	}
}

func TestNewFileInReadOnlyFolderIsNamed(t *testing.T) {
	t.Parallel()
	dir := openFolder(t)
	chmod(t, dir, 0o555)
	t.Cleanup(func() { chmod(t, dir, 0o777) })
	wantReadOnly(t, filepath.Join(dir, "new.db"))
}

// wantReadOnly writes to the file as a user whom file modes stop.
func wantReadOnly(t *testing.T, name string) {
	t.Helper()
	c := command(t, "write", "sqlite:"+name)
	if os.Geteuid() == 0 {
		c.Path = copyOfSelf(t, c.Path)
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	out, err := c.CombinedOutput()
	if err == nil {
		t.Errorf("%s: write succeeded", name)
	}
	for _, want := range []string{name, db.ErrReadOnly.Error(), "right to write the file and its folder"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("message %q does not say %q", out, want)
		}
	}
}

// openFolder returns a temporary folder that every user can reach.
func openFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	chmod(t, filepath.Dir(dir), 0o755)
	chmod(t, dir, 0o777)
	return dir
}

func chmod(t *testing.T, name string, mode os.FileMode) {
	t.Helper()
	if err := os.Chmod(name, mode); err != nil {
		t.Fatal(err)
	}
}

// copyOfSelf copies the test binary out of its private build folder.
func copyOfSelf(t *testing.T, path string) string {
	t.Helper()
	in, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	out, err := os.OpenFile(filepath.Join(openFolder(t), "child"), os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(out, in); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Name()
}
