package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"strconv"
)

// account is the user that the server runs as; the zero value is the user who
// runs check.
type account struct {
	name     string
	uid, gid uint32
}

// unprivileged returns the account for the server. PostgreSQL refuses to run as
// root.
func unprivileged() (account, error) {
	if os.Geteuid() != 0 {
		return account{}, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		return accountOf(u)
	}
	return account{}, errors.New("PostgreSQL does not run as root, and there is no user postgres or nobody: " +
		"run check as another user")
}

func accountOf(u *user.User) (account, error) {
	uid, err := strconv.ParseUint(u.Uid, 10, 32)
	if err != nil {
		return account{}, fmt.Errorf("user %s: %w", u.Username, err)
	}
	gid, err := strconv.ParseUint(u.Gid, 10, 32)
	if err != nil {
		return account{}, fmt.Errorf("user %s: %w", u.Username, err)
	}
	return account{name: u.Username, uid: uint32(uid), gid: uint32(gid)}, nil
}

// runs lets cmd run as the account, in a folder that it may enter.
func (a account) runs(cmd *exec.Cmd, folder string) {
	cmd.Dir = folder
	cmd.Env = withoutPostgresSettings(cmd.Env)
	if a.name != "" {
		runAs(cmd, a)
	}
}

// owns gives the folder to the account.
func (a account) owns(folder string) error {
	if a.name == "" {
		return nil
	}
	return os.Chown(folder, int(a.uid), int(a.gid))
}
