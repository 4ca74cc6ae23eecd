package db

import (
	"net/url"
	"time"
)

// CheckVersion lets tests ask about SQLite versions that the program is not
// built with.
var CheckVersion = checkVersion

// WithDefaults lets tests see the options that the driver would get.
func WithDefaults(u *url.URL, patience time.Duration) url.Values {
	return withDefaults(u, options{patience: patience})
}
