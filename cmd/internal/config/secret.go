package config

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"strings"
)

// secret reads one from a file of its own or from the environment; in the file of
// settings itself there is none. The name is that of its two settings, with _file
// and _env behind it.
func (r reader) secret(name, file, env string) (string, error) {
	switch {
	case (file == "") == (env == ""):
		return "", r.fault(name, "name %s_file or %s_env, one of them", name, name)
	case env != "":
		if s := r.getenv(env); s != "" {
			return s, nil
		}
		return "", r.fault(name+"_env", "%s is not set in the environment", env)
	}
	text, err := private(file)
	if errors.Is(err, fs.ErrNotExist) {
		return "", r.fault(name+"_file", "there is no file %s", file)
	}
	if err == nil && strings.TrimSpace(text) == "" {
		return "", r.fault(name+"_file", "%s is empty", file)
	}
	return strings.TrimSpace(text), err
}

// text reads a file that is no secret.
func (r reader) text(field, file string) ([]byte, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, r.fault(field, "%v", err)
	}
	return text, nil
}

// private reads a file that not everybody may read.
func private(name string) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return "", err
	}
	if info.Mode().Perm()&0o004 != 0 {
		return "", &FileError{name, "", "everybody on this machine may read it: take that right away with chmod o-rwx " + name}
	}
	text, err := io.ReadAll(f)
	return string(text), err
}
