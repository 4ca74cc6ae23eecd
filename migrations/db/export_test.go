package db

// CheckVersion lets tests ask about SQLite versions that the program is not
// built with.
var CheckVersion = checkVersion

// WithDefaults lets tests see the options that the driver would get.
var WithDefaults = withDefaults
