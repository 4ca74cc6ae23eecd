package config

import (
	"net"
	"path/filepath"
	"strconv"
	"strings"
)

// Listen is where the watch answers over HTTP; nowhere if the address is empty.
type Listen struct {
	Address string // host:port, or unix: and a path
}

type writtenListen struct {
	Address string `toml:"address"`
}

func (r reader) listen(w *writtenListen) (Listen, error) {
	if w == nil {
		return Listen{}, nil
	}
	if path, ok := strings.CutPrefix(w.Address, "unix:"); ok {
		if !filepath.IsAbs(path) {
			return Listen{}, r.fault("address", "%q: the whole path of the socket, from / on", w.Address)
		}
		return Listen(*w), nil
	}
	host, port, err := net.SplitHostPort(w.Address)
	if n, bad := strconv.ParseUint(port, 10, 16); err != nil || bad != nil || host == "" || (n == 0 && port != "0") {
		return Listen{}, r.fault("address", "%q: host and port, such as 127.0.0.1:9464, or unix: and a path", w.Address)
	}
	return Listen(*w), nil
}
